"""What happens at the bench, entry by entry."""
