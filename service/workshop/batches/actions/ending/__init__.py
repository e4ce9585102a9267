"""How a batch ends, and what that asks."""
