"""Views of the production pages, one module a room."""
