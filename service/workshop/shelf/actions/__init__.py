"""What changes on the shelf: stock takes are made, counted and corrected."""
