"""Commands of production."""
