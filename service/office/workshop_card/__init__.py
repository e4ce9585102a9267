"""The workshop itself: one row with its name, zone, currency and public address."""
