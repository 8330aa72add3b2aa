"""What a label says: every statement as text, from the recipe as used and the batch."""
