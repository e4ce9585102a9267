"""Batches and their entries, as rows and as shown."""
