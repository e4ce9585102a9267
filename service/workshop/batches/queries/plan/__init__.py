"""What the plan says: the sheet, the targets, what is reserved."""
