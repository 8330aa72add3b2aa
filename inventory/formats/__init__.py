"""How numbers are written in places whose language does not say it."""
