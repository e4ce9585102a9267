"""What a charge and a version cost."""
