"""Tables of production, one module a room."""
