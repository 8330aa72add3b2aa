"""Spanish in the United States."""
