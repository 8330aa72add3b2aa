"""What a label says, whether it may, where it sits and how it is printed."""
