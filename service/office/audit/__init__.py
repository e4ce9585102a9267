"""What was changed, by whom and when: one entry a changed row, one chain link a transaction."""
