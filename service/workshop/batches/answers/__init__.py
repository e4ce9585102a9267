"""What the routes answer."""
