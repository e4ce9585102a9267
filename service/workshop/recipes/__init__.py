"""Recipes with their versions, lines and steps, frozen once approved."""
