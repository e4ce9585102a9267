"""Timings as ratios to a floor measured in the same run; no part of the pass/fail tests."""
