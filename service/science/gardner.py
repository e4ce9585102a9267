"""Gardner colours: the eighteen standards, the one nearest to a chromaticity, and rosin grades."""

import functools
import math
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import one_of, within
from service.science.results import Estimate, Standing
from service.science.rounding import from_float
from service.science.tables import rows

LIGHTEST, DARKEST = 1, 18
LIGHTER, DARKER = "< 1", "> 18"
_WHITE = "C/2"
# No two neighbours lie further apart than 0.036, so this is off the line of the standards.
_FAR = Decimal("0.03")
_HALF = Decimal("0.5")
_BY_NEAREST = "the nearest chromaticity; an eye at the tubes may read its neighbour"


class GardnerStandard(NamedTuple):
    """One standard: its chromaticity, and its luminous transmittance with the least and most."""

    x: Decimal
    y: Decimal
    transmittance_percent: Decimal
    lowest_transmittance_percent: Decimal
    highest_transmittance_percent: Decimal


class GardnerColour(NamedTuple):
    """The colour as it is reported, the nearest standard, and how far off it in x and y."""

    gardner: str
    standard: int
    distance: Decimal
    notes: tuple[str, ...]
    standing: Standing
    why: str


def gardner_whites() -> tuple[str, ...]:
    """List the white under which the standards are defined, the only one.

    Parameters: none. Raises: nothing. Returns: the name. Source: ASTM D1544-04 Table 1.

    >>> gardner_whites()
    ('C/2',)
    """
    return (_WHITE,)


def rosin_grades() -> tuple[str, ...]:
    """List the grades of rosin from the palest to the darkest.

    Parameters: none. Raises: nothing. Returns: the letters. Source: 7 CFR 160.13.

    >>> rosin_grades()[:4]
    ('XC', 'XB', 'XA', 'X')
    """
    return tuple(_rosins())


def gardner_standard(standard: int) -> GardnerStandard:
    """Look up a standard of the Gardner scale.

    Parameters: standard [1, 1-18; the palest is 1].
    Returns: its chromaticity under illuminant C for the 2 degree observer, and its luminous
    transmittance with the tolerance.
    Raises: OutOfRange for any other number.
    Source: ASTM D1544-04 Table 1.

    >>> gardner_standard(11).x
    Decimal('0.4842')
    """
    within(Decimal(standard), LIGHTEST, high=DARKEST, name="standard")
    return _standards()[standard]


def gardner_nearest(
    x: Decimal,
    y: Decimal,
    *,
    white: str,
    halves: bool = False,
    transmittance_percent: Decimal | None = None,
) -> GardnerColour:
    """Find the Gardner standard nearest to a measured chromaticity.

    Parameters: x [1, 0-1; chromaticity of the liquid in a tube of 10.65 mm]; y [1, 0-1];
    white [one of `gardner_whites()`; measured under any other, the answer would be wrong];
    halves [yes or no, whether half-way between two standards is reported, by agreement];
    transmittance_percent [%, 0-100; luminous transmittance Y, left out where it was not measured].
    Returns: the colour to report, `< 1` and `> 18` beyond the ends, and the nearest standard.
    Raises: OutOfRange for a number or another white.
    Source: ASTM D1544-04 Table 1, nearest chromaticity; halves from memory; beyond the ends where
    a next standard at the same step would be nearer (own rule).

    >>> gardner_nearest(Decimal("0.48"), Decimal("0.478"), white="C/2").gardner
    '11'
    """
    within(x, 0, high=1, name="x")
    within(y, 0, high=1, name="y")
    one_of(white, gardner_whites(), name="white")
    if x + y > 1:
        raise OutOfRange("x and y come to more than 1", "send a chromaticity", field="y")
    places = {Decimal(each): (found.x, found.y) for each, found in _standards().items()}
    nearest = int(_nearest((x, y), places))
    read = _nearest((x, y), _beyond(places) | (_between(places) if halves else {}))
    distance = math.dist((x, y), places[Decimal(nearest)])
    notes = _notes(nearest, from_float(distance), transmittance_percent)
    return GardnerColour(
        _reported(read), nearest, from_float(distance), notes, Standing.CONVENTION, _BY_NEAREST
    )


def gardner_of_rosin_grade(grade: str) -> Estimate:
    """Place a grade of rosin on the Gardner scale.

    Parameters: grade [one of `rosin_grades()`].
    Returns: [1] the Gardner colour at which the grade lies.
    Raises: OutOfRange for another word; NotApplicable for a grade without a figure.
    Source: NBS Monograph 104 Table 17.

    >>> gardner_of_rosin_grade("WW").value
    Decimal('10.8')
    """
    found = _rosins()[one_of(grade, rosin_grades(), name="grade")]
    if found is None:
        known = ", ".join(each for each, value in _rosins().items() if value is not None)
        raise NotApplicable(
            f"no Gardner colour is known here for grade {grade}",
            f"ask for one of {known}, or read the rosin on the Gardner scale",
            field="grade",
        )
    why = "grades are judged on a cube and Gardner in a tube: use it to place, not to compare"
    return Estimate(found, Standing.APPROXIMATE, why)


_Places = dict[Decimal, tuple[Decimal, Decimal]]


def _nearest(place: tuple[Decimal, Decimal], places: _Places) -> Decimal:
    """The nearest of them, the paler one of two as near."""
    return min(places, key=lambda each: (math.dist(place, places[each]), each))


def _beyond(places: _Places) -> _Places:
    """The standards with one more at each end, at the same step as the last."""
    return {
        **places,
        Decimal(LIGHTEST - 1): _stepped(places, LIGHTEST + 1, LIGHTEST),
        Decimal(DARKEST + 1): _stepped(places, DARKEST - 1, DARKEST),
    }


def _stepped(places: _Places, inner: int, end: int) -> tuple[Decimal, Decimal]:
    (inner_x, inner_y), (x, y) = places[Decimal(inner)], places[Decimal(end)]
    return 2 * x - inner_x, 2 * y - inner_y


def _between(places: _Places) -> _Places:
    """Half-way between each two neighbours."""
    return {
        each + _HALF: ((x + places[each + 1][0]) / 2, (y + places[each + 1][1]) / 2)
        for each, (x, y) in places.items()
        if each + 1 in places
    }


def _reported(read: Decimal) -> str:
    if read < LIGHTEST:
        return LIGHTER
    return DARKER if read > DARKEST else str(read)


def _notes(
    nearest: int, distance: Decimal, transmittance_percent: Decimal | None
) -> tuple[str, ...]:
    notes = []
    if distance > _FAR:
        notes.append(
            "off the line of the standards: judged without its hue it reads so, and for a red "
            "varnish “not on this scale” is a valid answer"
        )
    if transmittance_percent is not None:
        measured = within(transmittance_percent, 0, high=100, name="transmittance_percent")
        low = _standards()[nearest].lowest_transmittance_percent
        high = _standards()[nearest].highest_transmittance_percent
        if not low <= measured <= high:
            notes.append(
                f"Y is {measured:.6g} %, and standard {nearest} has {low} to {high} %: "
                "is the liquid clear?"
            )
    return tuple(notes)


@functools.cache
def _standards() -> dict[int, GardnerStandard]:
    return {int(row["standard"]): _standard(row) for row in rows("gardner_standards.csv")}


def _standard(row: dict[str, str]) -> GardnerStandard:
    percent, tolerance = Decimal(row["transmittance_percent"]), Decimal(row["tolerance_percent"])
    return GardnerStandard(
        Decimal(row["x"]), Decimal(row["y"]), percent, percent - tolerance, percent + tolerance
    )


@functools.cache
def _rosins() -> dict[str, Decimal | None]:
    return {
        row["grade"]: Decimal(row["gardner"]) if row["gardner"] else None
        for row in rows("rosin_grades.csv")
    }
