"""How well a result stands: what the sum alone cannot say, said beside the figure."""

from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple


class Standing(StrEnum):
    """How a figure stands; the words are part of the answer."""

    EXACT = "exact for the figures given"
    APPROXIMATE = "an approximation"
    THEORETICAL = "theoretical"
    UPPER_BOUND = "an upper bound"
    CONVENTION = "by convention"
    AS_SOURCED = "as the source has it"


class Estimate(NamedTuple):
    """One figure that is not exact: its standing, and why in a sentence."""

    value: Decimal
    standing: Standing
    why: str
