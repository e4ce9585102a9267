"""Fire: flash and autoignition points, and how hot a varnish may be when solvent is poured in.

These judge plans. What happened at the stove is recorded whatever it was.
"""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import one_of, within
from service.science.results import Standing
from service.science.tables import rows

BELOW_BOILING_K = Decimal(30)
BELOW_AUTOIGNITION_K = Decimal(50)
HOTTEST_FOR_ETHANOL_C = Decimal(40)

_ETHANOL = "ethanol"
_SOLVENT = "solvent"
_LIKE_ETHANOL_C = (76, 81)
_HEAVY_C = 170  # from here up some solvents take fire by themselves before they boil
_BOILING_UNKNOWN = (
    "its boiling range is not known here: the safety data sheet gives it, and 30 K below its start "
    "the real limit of a pour may be lower"
)
_MARGINS = "margins of the trade, not of a standard"
_NO_FLAME = "take the kettle off the heat and put out every flame before solvent is poured"
_BY_SMOKE = (
    "oil and resin are cooked above their flash points by design: no open flame, the lid at hand, "
    "and watch the smoke and the distance to autoignition"
)


class FirePoints(NamedTuple):
    """The lowest and the highest known flash and autoignition point; None where not known."""

    flash_c: Decimal
    flash_highest_c: Decimal
    autoignition_c: Decimal | None
    autoignition_highest_c: Decimal | None
    boils_from_c: Decimal | None
    hottest_pour_c: Decimal | None
    standing: Standing
    why: str
    notes: tuple[str, ...]


class PourLimit(NamedTuple):
    """The hottest that a pour may be planned, and the limits of which it is the lowest."""

    limit_c: Decimal
    by_boiling_c: Decimal
    by_autoignition_c: Decimal | None
    by_ethanol_c: Decimal | None
    standing: Standing
    why: str
    notes: tuple[str, ...]


class PlannedPour(NamedTuple):
    """How far a planned pour stays below its limit, and the limit."""

    below_limit_k: Decimal
    limit_c: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


def fire_materials() -> tuple[str, ...]:
    """List the solvents, oils and resins whose flash point is known here.

    Parameters: none. Raises: nothing. Source: IEC 60079-20-1:2010, NFPA 497:2008 and
    memory, tables/fire_points.csv.

    >>> "turpentine" in fire_materials()
    True
    """
    return tuple(_materials())


def fire_points(material: str) -> FirePoints:
    """Look up at what warmth a material flashes and takes fire by itself.

    Parameters: material [one of `fire_materials()`].
    Returns: flash and autoignition points, lowest and highest, and the hottest pour of a solvent.
    Raises: OutOfRange for a material not in the table.
    Source: IEC 60079-20-1:2010 and NFPA 497:2008; mineral spirits, oils, rosin and the start of
    boiling of turpentine, dipentene and xylene from memory, tables/fire_points.csv.

    >>> found = fire_points("turpentine")
    >>> found.flash_c, found.autoignition_c, found.hottest_pour_c
    (Decimal('35'), Decimal('253'), Decimal('120'))
    """
    row = _materials()[one_of(material, fire_materials(), name="material")]
    boils, ignites = _known(row["boils_from_c"]), _known(row["autoignition_c"])
    solvent = row["kind"] == _SOLVENT
    pour = _hottest_pour(material, boils, ignites) if solvent else None
    return FirePoints(
        Decimal(row["flash_c"]),
        Decimal(row["flash_highest_c"]),
        ignites,
        _known(row["autoignition_highest_c"]),
        boils,
        pour,
        Standing.APPROXIMATE,
        f"{row['origin']}; the safety data sheet of your own lot goes before it",
        (_NO_FLAME, *(() if boils is not None else (_BOILING_UNKNOWN,)))
        if solvent
        else (_BY_SMOKE,),
    )


def _hottest_pour(material: str, boils: Decimal | None, ignites: Decimal | None) -> Decimal | None:
    """By boiling and by autoignition, or by the one of them that is known."""
    if boils is not None:
        return pour_limit(boils, ethanol=material == _ETHANOL, autoignition_c=ignites).limit_c
    return None if ignites is None else ignites - BELOW_AUTOIGNITION_K


def pour_limit(
    initial_boiling_point_c: Decimal,
    autoignition_c: Decimal | None = None,
    *,
    ethanol: bool = False,
) -> PourLimit:
    """Give the hottest that a varnish may be planned to be when solvent is poured in.

    Parameters: initial_boiling_point_c [°C, 20-350; of the solvent]; autoignition_c [°C,
    100-700; of the solvent], None if not known; ethanol [yes or no, yes for spirit].
    Returns: the limit, and each of those that it is the lowest of.
    Raises: OutOfRange for either temperature.
    Source: common practice: 30 K below the initial boiling point, 50 K below autoignition,
    ethanol at most 40 °C, off the heat and without a flame.

    >>> pour_limit(Decimal(150), Decimal(253)).limit_c
    Decimal('120')
    """
    within(initial_boiling_point_c, 20, high=350, name="initial_boiling_point_c")
    by_boiling = initial_boiling_point_c - BELOW_BOILING_K
    by_fire = by_ethanol = None
    if autoignition_c is not None:
        within(autoignition_c, 100, high=700, name="autoignition_c")
        by_fire = autoignition_c - BELOW_AUTOIGNITION_K
    if ethanol:
        by_ethanol = HOTTEST_FOR_ETHANOL_C
    limit = min(each for each in (by_boiling, by_fire, by_ethanol) if each is not None)
    return PourLimit(
        limit,
        by_boiling,
        by_fire,
        by_ethanol,
        Standing.CONVENTION,
        _MARGINS,
        _unchecked(initial_boiling_point_c, autoignition_c, ethanol=ethanol),
    )


def _unchecked(boils_c: Decimal, ignites_c: Decimal | None, *, ethanol: bool) -> tuple[str, ...]:
    """What was not sent and would have counted."""
    notes = [_NO_FLAME]
    if ignites_c is None:
        notes.append("autoignition not sent, so the 50 K rule was not checked")
    if not ethanol and _LIKE_ETHANOL_C[0] <= boils_c <= _LIKE_ETHANOL_C[1]:
        notes.append("if this is spirit, send ethanol=yes: it goes in at 40 °C at most")
    return tuple(notes)


def planned_pour(
    planned_c: Decimal,
    initial_boiling_point_c: Decimal,
    *,
    autoignition_c: Decimal | None = None,
    ethanol: bool = False,
) -> PlannedPour:
    """Check how hot a varnish is planned to be when solvent is poured in.

    Parameters: planned_c [°C, -20 to 370; of the varnish]; initial_boiling_point_c [°C, 20-350;
    of the solvent]; autoignition_c [°C, 100-700; of the solvent], None if not known; ethanol [yes
    or no, yes for spirit].
    Returns: by how many K the plan stays below its limit, and the limit.
    Raises: OutOfRange for a temperature, or for a plan hotter than the limit; NotApplicable for a
    solvent that boils from 170 °C up without its autoignition.
    Source: common practice: 30 K below the initial boiling point, 50 K below autoignition,
    ethanol at most 40 °C, off the heat and without a flame.

    >>> planned_pour(Decimal(115), Decimal(150)).below_limit_k
    Decimal('5')
    """
    within(planned_c, -20, high=370, name="planned_c")
    found = pour_limit(initial_boiling_point_c, autoignition_c, ethanol=ethanol)
    limit_c = found.limit_c
    if autoignition_c is None and initial_boiling_point_c >= _HEAVY_C:
        raise NotApplicable(
            f"a solvent that boils from {initial_boiling_point_c:.6g} °C can take fire by itself "
            "before it boils, and its autoignition was not sent",
            "send the autoignition that fire-points or the safety data sheet of the solvent gives",
            field="autoignition_c",
        )
    if planned_c > limit_c:
        raise OutOfRange(
            f"a pour of solvent at {planned_c:.6g} °C is planned above {limit_c:.6g} °C",
            f"let it cool to {limit_c:.6g} °C or less, off the heat and with no flame near",
            field="planned_c",
        )
    return PlannedPour(limit_c - planned_c, limit_c, Standing.CONVENTION, _MARGINS, found.notes)


def _known(cell: str) -> Decimal | None:
    return Decimal(cell) if cell else None


@functools.cache
def _materials() -> dict[str, dict[str, str]]:
    return {row["material"]: row for row in rows("fire_points.csv")}
