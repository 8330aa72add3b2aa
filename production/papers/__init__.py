"""Papers of the kitchen: the sheet to cook from, the record to keep."""
