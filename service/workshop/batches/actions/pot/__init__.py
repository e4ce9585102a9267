"""What is seen in the pot, and done to bring it to a goal."""
