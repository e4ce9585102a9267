"""Stages as they were worked."""
