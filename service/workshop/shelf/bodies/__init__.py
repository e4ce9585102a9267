"""Bodies of the shelf."""
