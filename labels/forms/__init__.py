"""Forms of labels, one module a room: text into values."""
