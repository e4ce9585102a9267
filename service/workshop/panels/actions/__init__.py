"""What changes with scales, protocols, panels and readings, by noun."""
