"""Reads that cross models or assemble the input of a calculation."""
