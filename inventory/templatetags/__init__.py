"""How figures are shown."""
