"""Tables of inventory, one module a room."""
