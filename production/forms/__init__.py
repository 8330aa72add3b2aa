"""Forms of production, one module a room: text into values."""
