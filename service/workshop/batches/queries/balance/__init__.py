"""Where the mass went."""
