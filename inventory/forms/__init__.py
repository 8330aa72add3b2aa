"""Forms of inventory, one module a room: text into values."""
