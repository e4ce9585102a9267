"""What changes with batches, by noun."""
