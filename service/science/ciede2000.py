"""The colour difference CIEDE2000, which weighs each axis as the eye does."""

import math
from decimal import Decimal
from typing import NamedTuple

from service.science.colour import LabColour, one_white
from service.science.rounding import from_float

# Hues that are opposite by less than the noise of their arctangents count as opposite.
_HUE_DIGITS = 9
_SMALL = 5
# Figures of colours have no meaning beyond this place, only the noise of sine and root.
_PLACES = 12
_25_TO_7 = 25.0**7


class WeighedDifference(NamedTuple):
    """The difference, its parts before weighing (second less first), and their weights."""

    delta_e: Decimal
    delta_lightness: Decimal
    delta_chroma: Decimal
    delta_hue: Decimal
    lightness_weight: Decimal
    chroma_weight: Decimal
    hue_weight: Decimal
    rotation: Decimal
    white: str
    notes: tuple[str, ...]


class _Polar(NamedTuple):
    lightness: float
    chroma: float
    hue: float


def delta_e_2000(first: LabColour, second: LabColour) -> WeighedDifference:
    """Measure the difference of two colours by CIEDE2000, all factors 1.

    Parameters: first [a `LabColour`; such as the kept standard]; second [a `LabColour`; such as
    the batch, under the same white].
    Returns: the difference, with its parts in lightness, chroma and hue and their weights.
    Raises: OutOfRange for a number or a white; NotApplicable for two different whites.
    Source: ISO/CIE 11664-6:2014; Sharma, Wu and Dalal, Color Research & Application 30 (2005),
    whose 34 pairs it gives.

    >>> delta_e_2000(
    ...     LabColour(Decimal(50), Decimal("2.5"), Decimal(0), "D65/10"),
    ...     LabColour(Decimal(50), Decimal(0), Decimal("-2.5"), "D65/10")
    ... ).delta_e.quantize(Decimal("0.0001"))
    Decimal('4.3065')
    """
    white = one_white(first, second)
    one, other = _polar(first, second)
    lightness = other.lightness - one.lightness
    chroma = other.chroma - one.chroma
    hue = _hue_difference(one, other)
    mean_chroma, mean_hue = _mean(one.chroma, other.chroma), _mean_hue(one, other)
    off_middle = (_mean(one.lightness, other.lightness) - 50) ** 2
    weights = (
        1 + 0.015 * off_middle / math.sqrt(20 + off_middle),
        1 + 0.045 * mean_chroma,
        1 + 0.015 * mean_chroma * _hue_dependence(mean_hue),
    )
    rotation = _rotation(mean_hue, mean_chroma)
    parts = [part / weight for part, weight in zip((lightness, chroma, hue), weights, strict=True)]
    squares = sum(part**2 for part in parts) + rotation * parts[1] * parts[2]
    delta_e = _figure(math.sqrt(squares))
    return WeighedDifference(
        delta_e,
        second.lightness - first.lightness,
        _figure(chroma),
        _figure(hue),
        _figure(weights[0]),
        _figure(weights[1]),
        _figure(weights[2]),
        rotation=_figure(rotation),
        white=white,
        notes=_notes(delta_e),
    )


def _polar(first: LabColour, second: LabColour) -> tuple[_Polar, _Polar]:
    """Both colours as lightness, chroma and hue, the red axis stretched near grey."""
    pairs = [(float(each.a_star), float(each.b_star)) for each in (first, second)]
    chroma = _mean(math.hypot(*pairs[0]), math.hypot(*pairs[1]))
    stretch = 1.5 - 0.5 * _of_7th_powers(chroma)
    one, other = (
        _Polar(
            float(each.lightness),
            math.hypot(stretch * a_star, b_star),
            math.degrees(math.atan2(b_star, stretch * a_star)) % 360,
        )
        for each, (a_star, b_star) in zip((first, second), pairs, strict=True)
    )
    return one, other


def _hue_difference(one: _Polar, other: _Polar) -> float:
    """The arc between the hues as a length, by the shorter way."""
    turn = other.hue - one.hue
    if round(abs(turn), _HUE_DIGITS) > 180:
        turn -= math.copysign(360, turn)
    return 2 * math.sqrt(one.chroma * other.chroma) * math.sin(math.radians(turn / 2))


def _mean_hue(one: _Polar, other: _Polar) -> float:
    """The hue half-way, by the shorter way; a grey has no hue to take a half of."""
    total = one.hue + other.hue
    if not one.chroma * other.chroma:
        return total
    if round(abs(one.hue - other.hue), _HUE_DIGITS) <= 180:
        return total / 2
    return (total + 360) / 2 if total < 360 else (total - 360) / 2


def _hue_dependence(hue: float) -> float:
    terms = ((-0.17, 1, -30), (0.24, 2, 0), (0.32, 3, 6), (-0.20, 4, -63))
    return 1 + sum(size * math.cos(math.radians(times * hue + turn)) for size, times, turn in terms)


def _rotation(hue: float, chroma: float) -> float:
    """In the blues chroma and hue are not seen apart."""
    turn = 60 * math.exp(-(((hue - 275) / 25) ** 2))
    return -2 * _of_7th_powers(chroma) * math.sin(math.radians(turn))


def _of_7th_powers(chroma: float) -> float:
    return math.sqrt(chroma**7 / (chroma**7 + _25_TO_7))


def _figure(value: float) -> Decimal:
    return from_float(round(value, _PLACES))


def _mean(one: float, other: float) -> float:
    return (one + other) / 2


def _notes(delta_e: Decimal) -> tuple[str, ...]:
    if delta_e > _SMALL:
        return ("the formula was fitted to differences up to about 5: this one only ranks",)
    return ()
