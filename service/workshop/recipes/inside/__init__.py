"""What is in a recipe: its materials, worked through and taken apart."""
