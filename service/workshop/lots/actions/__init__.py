"""What changes when a lot is filled."""
