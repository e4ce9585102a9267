"""Corrections, and what follows of them."""
