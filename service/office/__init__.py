"""Desks, strangers to each other: keys, people, equipment, audit, documents, card, front desk."""
