"""Template tags of the production pages."""
