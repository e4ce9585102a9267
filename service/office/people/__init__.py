"""Who works here: codes that acts name, and names that may be blanked."""
