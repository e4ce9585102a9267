"""Events, colour and adjustments of the pot."""
