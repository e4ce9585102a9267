"""What is read of the shelf."""
