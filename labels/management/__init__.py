"""Commands of labels."""
