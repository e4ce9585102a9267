"""Bodies of the batches slice, by noun."""
