"""Rating scales, protocols, panels with their coats, and readings."""
