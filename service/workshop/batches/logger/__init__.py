"""A logger's file, read as it was stated to be: pure."""
