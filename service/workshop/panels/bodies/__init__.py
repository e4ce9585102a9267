"""Bodies of the panels slice, by noun."""
