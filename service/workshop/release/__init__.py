"""The act of release, and what still stands against it."""
