"""What was checked around a fill: the place, samples taken, packs looked at."""
