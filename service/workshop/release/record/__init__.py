"""The batch record: everything that was entered of a batch and of what was filled from it."""
