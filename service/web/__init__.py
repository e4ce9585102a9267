"""HTTP habits shared by all: problems, bodies, paging, ETags, idempotency; nothing of the trade."""
