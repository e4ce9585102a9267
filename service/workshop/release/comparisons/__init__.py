"""Two versions side by side: what is written, what follows from it, and what was seen of it."""
