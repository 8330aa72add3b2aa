"""Views of the labels pages, one module a room."""
