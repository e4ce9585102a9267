"""Whole tables in at once: the starter list, and imports by array."""
