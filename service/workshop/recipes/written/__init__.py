"""A version as it is written down: in its order, and as it is shown."""
