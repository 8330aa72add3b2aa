"""Commands of labels, one module each."""
