"""Views of the inventory pages, one module a room."""
