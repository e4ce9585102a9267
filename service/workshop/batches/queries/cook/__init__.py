"""The cook log and its curve."""
