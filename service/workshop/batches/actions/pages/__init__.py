"""A whole page, entered at once."""
