"""Commands of production, one module each."""
