"""What comes in, what is on the shelf, what goes out."""
