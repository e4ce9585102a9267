"""Time in the entries of a stage, which runs one way: pure."""

from collections.abc import Sequence
from datetime import datetime
from itertools import pairwise


def backwards(times: Sequence[datetime]) -> int | None:
    """The place of the first time that lies before the one before it; None where none does."""
    pairs = enumerate(pairwise(times), 1)
    return next((place for place, (one, after) in pairs if after < one), None)
