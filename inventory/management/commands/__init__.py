"""Commands of inventory, one module each."""
