"""Frozen documents: canonical bytes, their digest, their revisions and stored renderings."""
