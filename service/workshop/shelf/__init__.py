"""What is on the shelf: what of it is free, what runs short, and what is counted there."""
