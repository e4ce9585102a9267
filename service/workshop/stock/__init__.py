"""Lots received and made, their numbers, the ledger, what is left, and the graph of origins."""
