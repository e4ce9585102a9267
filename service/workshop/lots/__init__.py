"""Filling a bulk lot into jars, with every jar weighed."""
