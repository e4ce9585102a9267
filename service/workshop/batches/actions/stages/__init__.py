"""Stages as they are worked, and what they give."""
