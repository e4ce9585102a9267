"""Kettles, balances and thermometers, with what they hold and what they can read."""
