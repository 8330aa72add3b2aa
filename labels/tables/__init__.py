"""Tables of labels, one module a room."""
