"""CIELAB colours: from what a colorimeter reads, and how far two of them lie apart.

A colour says nothing without its white: illuminant and observer travel with every colour, and
two colours seen under different whites are not compared.
"""

import functools
import math
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import one_of, within
from service.science.rounding import from_float, plain
from service.science.tables import rows

_MOST = 200
_BRIGHTEST = 150
# Beyond this place stands only the noise of the cube root.
_PLACES = 12
_LINEAR_BELOW = 216 / 24389
_SLOPE = 24389 / 27
_LOWEST_XY = Decimal("0.2")
_HIGHEST_XY = Decimal("0.6")


class LabColour(NamedTuple):
    """A colour in CIELAB with the white it was measured against.

    Fields: lightness [1, 0-100; L*]; a_star [1, -200 to 200; green below 0, red above]; b_star
    [1, -200 to 200; blue below 0, yellow above]; white [one of `whites()`; illuminant and
    observer, such as D65/10].
    """

    lightness: Decimal
    a_star: Decimal
    b_star: Decimal
    white: str


class LabReading(NamedTuple):
    """L*, a* and b*, the same as chroma and hue (None for a grey), and the white they rest on."""

    lightness: Decimal
    a_star: Decimal
    b_star: Decimal
    chroma: Decimal
    hue_degrees: Decimal | None
    white: str
    notes: tuple[str, ...]


class LabDifference(NamedTuple):
    """How far the second colour lies from the first, along each axis and in words."""

    delta_e: Decimal
    delta_lightness: Decimal
    delta_a_star: Decimal
    delta_b_star: Decimal
    delta_chroma: Decimal
    direction: str
    white: str


def whites() -> tuple[str, ...]:
    """List the illuminants with their observers, in degrees.

    Parameters: none. Raises: nothing. Returns: the names. Source: tables/white_points.csv.

    >>> whites()[-1]
    'D65/10'
    """
    return tuple(_whites())


def lab_from_xyz(
    tristimulus_x: Decimal,
    tristimulus_y: Decimal,
    *,
    tristimulus_z: Decimal,
    white: str | None = None,
    white_x: Decimal | None = None,
    white_y: Decimal | None = None,
) -> LabReading:
    """Turn tristimulus values into CIELAB.

    Parameters: tristimulus_x [1, 0-150; white about 95-111]; tristimulus_y [1, 0-100; the white
    is 100]; tristimulus_z [1, 0-150; white about 35-118]; white [one of `whites()`; left out
    where the chromaticity of the white is sent]; white_x [1, 0.2-0.6; chromaticity of the white,
    left out where it is named]; white_y [1, 0.2-0.6; sent with the other].
    Returns: L*, a*, b*, with chroma and hue.
    Raises: OutOfRange for a number, or a result that is no colour; NotApplicable without a
    white, or with one both named and given.
    Source: ISO/CIE 11664-4:2019 (from memory), white points of tables/white_points.csv.

    >>> lab_from_xyz(Decimal("41.246"), Decimal("21.267"), tristimulus_z=Decimal("1.933"),
    ...              white="D65/2").lightness.quantize(Decimal("0.01"))
    Decimal('53.24')
    """
    within(tristimulus_x, 0, high=_BRIGHTEST, name="tristimulus_x")
    within(tristimulus_y, 0, high=100, name="tristimulus_y")
    within(tristimulus_z, 0, high=_BRIGHTEST, name="tristimulus_z")
    named, x, y = _white(white, white_x, white_y)
    of_x = _response(float(tristimulus_x) / (100 * x / y))
    of_y = _response(float(tristimulus_y) / 100)
    of_z = _response(float(tristimulus_z) / (100 * (1 - x - y) / y))
    a_star, b_star = round(500 * (of_x - of_y), _PLACES), round(200 * (of_y - of_z), _PLACES)
    for size, name in ((a_star, "tristimulus_x"), (b_star, "tristimulus_z")):
        if abs(size) > _MOST:
            raise OutOfRange(
                f"this gives {size:.0f} on an axis that ends at {_MOST}",
                "send X, Y and Z of one reading, on the scale where the white has Y = 100",
                field=name,
            )
    chroma = from_float(math.hypot(a_star, b_star))
    return LabReading(
        from_float(round(116 * of_y - 16, _PLACES)),
        from_float(a_star),
        from_float(b_star),
        chroma,
        from_float(math.degrees(math.atan2(b_star, a_star)) % 360) if chroma else None,
        named,
        _doubts(tristimulus_y),
    )


def delta_e_76(first: LabColour, second: LabColour) -> LabDifference:
    """Measure the distance of two colours in CIELAB (1976).

    Parameters: first [a `LabColour`; such as the kept standard]; second [a `LabColour`; such as
    the batch, under the same white].
    Returns: the distance, what it is made of, and in words how the second looks beside the first.
    Raises: OutOfRange for a number or a white; NotApplicable for two different whites.
    Source: ISO/CIE 11664-4:2019, colour difference (from memory).

    >>> delta_e_76(
    ...     LabColour(Decimal("52.1"), Decimal("12.4"), Decimal("40.2"), "D65/10"),
    ...     LabColour(Decimal("50.3"), Decimal("14.0"), Decimal("37.8"), "D65/10")).delta_e
    Decimal('3.4')
    """
    white = one_white(first, second)
    steps = (
        second.lightness - first.lightness,
        second.a_star - first.a_star,
        second.b_star - first.b_star,
    )
    chroma = math.hypot(second.a_star, second.b_star) - math.hypot(first.a_star, first.b_star)
    distance = from_float(math.hypot(*(float(step) for step in steps)))
    return LabDifference(distance, *steps, from_float(chroma), _direction(steps), white)


def one_white(first: LabColour, second: LabColour) -> str:
    """Check two colours and the white that they must share.

    Parameters: first, second [a `LabColour`]. Returns: the white.
    Raises: OutOfRange for a number or a white; NotApplicable for two different whites.
    Source: ISO/CIE 11664-4:2019: a difference holds under one white (from memory).

    >>> black = LabColour(Decimal(0), Decimal(0), Decimal(0), "C/2")
    >>> one_white(black, black)
    'C/2'
    """
    for colour, name in ((first, "first"), (second, "second")):
        within(colour.lightness, 0, high=100, name=f"{name}/lightness")
        within(colour.a_star, -_MOST, high=_MOST, name=f"{name}/a_star")
        within(colour.b_star, -_MOST, high=_MOST, name=f"{name}/b_star")
        one_of(colour.white, whites(), name=f"{name}/white")
    if first.white != second.white:
        raise NotApplicable(
            f"one colour was measured under {first.white} and the other under {second.white}",
            "measure both under one illuminant and observer",
            field="second/white",
        )
    return first.white


def _response(ratio: float) -> float:
    return math.cbrt(ratio) if ratio > _LINEAR_BELOW else (_SLOPE * ratio + 16) / 116


def _white(
    white: str | None, white_x: Decimal | None, white_y: Decimal | None
) -> tuple[str, float, float]:
    """The white's name and its chromaticity."""
    if white is not None and white_x is None and white_y is None:
        x, y = _whites()[one_of(white, whites(), name="white")]
        return white, x, y
    if white is not None or white_x is None or white_y is None:
        raise NotApplicable(
            "the white is not stated, or stated twice",
            "name it, or send both white_x and white_y",
            field="white",
        )
    within(white_x, _LOWEST_XY, high=_HIGHEST_XY, name="white_x")
    within(white_y, _LOWEST_XY, high=_HIGHEST_XY, name="white_y")
    if white_x + white_y >= 1:
        raise OutOfRange(
            "white_x and white_y come to 1 or more", "send x and y of the white", field="white_y"
        )
    return f"x {plain(white_x)}, y {plain(white_y)}", float(white_x), float(white_y)


def _doubts(tristimulus_y: Decimal) -> tuple[str, ...]:
    if 0 < tristimulus_y <= 1:
        return ("Y is 1 or less: on a scale where the white has Y = 1, send X, Y and Z times 100",)
    return ()


def _direction(steps: tuple[Decimal, Decimal, Decimal]) -> str:
    """How the second looks beside the first, as a person at the window would say it."""
    words = (("lighter", "darker"), ("redder", "greener"), ("yellower", "bluer"))
    said = [
        more if step > 0 else less for step, (more, less) in zip(steps, words, strict=True) if step
    ]
    return ", ".join(said) or "the same"


@functools.cache
def _whites() -> dict[str, tuple[float, float]]:
    return {row["white"]: (float(row["x"]), float(row["y"])) for row in rows("white_points.csv")}
