"""Template tags of labels."""
