"""Metal driers: how much to weigh for a level of metal, and the level that was reached.

A level means nothing without its basis: metal on the oil is the tradition, metal on oil and
resin is what suppliers of today write.
"""

import functools
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.densities import plausible_density
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import above, at_least, count, one_of, positive
from service.science.tables import rows

_HIGHEST_METAL_PERCENT = 65
# By an old law of Ohio boiled linseed oil holds no more drier than this.
_MOST_DRIER_ON_OIL_PERCENT = 4
_LEAD = "Pb"
_OIL = "oil"
_OIL_AND_RESIN = "oil and resin"
_HIGHER_ON_OIL = (
    "on oil and resin: on the oil alone the level is higher, and the usual levels and those warned "
    "of are meant on the oil"
)


class DrierDose(NamedTuple):
    """The drier to weigh, and the metal in it."""

    drier_g: Decimal
    metal_g: Decimal
    notes: tuple[str, ...]


class ResinateDose(NamedTuple):
    """The resinate to weigh as a drier, its metal, and the resin with the resinate in it."""

    resinate_g: Decimal
    metal_g: Decimal
    resin_with_resinate_g: Decimal
    notes: tuple[str, ...]


class DrierLevel(NamedTuple):
    """The metal on the basis, and in grams."""

    metal_percent: Decimal
    metal_g: Decimal
    notes: tuple[str, ...]


class DrierAddition(NamedTuple):
    """One drier as it was weighed.

    Fields: metal [one of `drier_metals()`]; drier_g [g, above 0]; drier_metal_percent [%, above
    0 up to 65; metal in the drier].
    """

    metal: str
    drier_g: Decimal
    drier_metal_percent: Decimal


class MetalLevel(NamedTuple):
    """One metal of several: its level on the basis, and in grams."""

    metal: str
    metal_percent: Decimal
    metal_g: Decimal


class DrierLevels(NamedTuple):
    """Each metal with its level, in the order first named, and the mass of all driers."""

    levels: tuple[MetalLevel, ...]
    drier_g: Decimal
    notes: tuple[str, ...]


class _Metal(NamedTuple):
    usual_from: Decimal
    usual_to: Decimal
    warn_above: Decimal | None
    note: str


def drier_metals() -> tuple[str, ...]:
    """List the metals that driers are made of.

    Parameters: none. Raises: nothing. Returns: their symbols. Source: tables/drier_metals.csv.

    >>> drier_metals()[0]
    'Co'
    """
    return tuple(_metals())


def drier_bases() -> tuple[str, ...]:
    """List what a level of metal can be a share of.

    Parameters: none. Raises: nothing. Returns: the words. Source: common practice.

    >>> drier_bases()
    ('oil', 'oil and resin')
    """
    return (_OIL, _OIL_AND_RESIN)


def drier_dose(
    basis_g: Decimal,
    basis: str,
    *,
    metal: str,
    target_percent: Decimal,
    drier_metal_percent: Decimal,
    sold_to_public: bool = True,
) -> DrierDose:
    """Size a drier for a level of metal.

    Parameters: basis_g [g, above 0; mass of what the level is a share of]; basis [one of
    `drier_bases()`]; metal [one of `drier_metals()`]; target_percent [%, above 0 up to 65; metal
    wanted on the basis]; drier_metal_percent [%, above 0 up to 65; metal in the drier];
    sold_to_public [yes or no, whether the product is sold to the public; lead is refused then].
    Returns: the drier to weigh and the metal in it in g.
    Raises: OutOfRange for a number or a word, or a target above the strength of the drier;
    NotApplicable for lead in a product sold to the public.
    Source: mass balance; levels of tables/drier_metals.csv; lead by 16 CFR 1303.1, in the EU from
    memory.

    >>> drier_dose(Decimal(500), "oil", metal="Co", target_percent=Decimal("0.04"),
    ...            drier_metal_percent=Decimal(10)).drier_g
    Decimal('2.00')
    """
    positive(basis_g, "basis_g")
    one_of(basis, drier_bases(), name="basis")
    _allowed(metal, sold_to_public=sold_to_public)
    above(target_percent, 0, high=_HIGHEST_METAL_PERCENT, name="target_percent")
    strength = _strength(drier_metal_percent, "drier_metal_percent")
    if target_percent > strength:
        raise _too_weak(target_percent, strength, name="drier_metal_percent")
    drier_g = basis_g * target_percent / strength
    notes = _notes(metal, target_percent, basis=basis)
    if basis == _OIL and 100 * drier_g > _MOST_DRIER_ON_OIL_PERCENT * basis_g:
        notes = (*notes, "more than 4 % of drier on the oil: more than boiled linseed oil holds")
    return DrierDose(drier_g, drier_g * strength / 100, notes)


def resinate_as_drier(
    oil_g: Decimal,
    resin_g: Decimal,
    *,
    metal: str,
    target_percent: Decimal,
    resinate_metal_percent: Decimal,
    basis: str,
) -> ResinateDose:
    """Size a resinate that dries an oil, its own mass counting as resin.

    Parameters: oil_g [g, above 0]; resin_g [g, 0 or more; other resin]; metal [one of
    `drier_metals()`; lead is refused, as for sale to the public]; target_percent [%, above 0 up
    to 65; metal wanted on the basis]; resinate_metal_percent [%, above 0 up to 65; metal in the
    resinate]; basis [one of `drier_bases()`].
    Returns: the resinate to weigh, its metal, and all resin with it, in g.
    Raises: OutOfRange for a number or a word, or a resinate too weak for the target;
    NotApplicable for lead.
    Source: mass balance; levels of tables/drier_metals.csv.

    >>> resinate_as_drier(Decimal(1000), Decimal(500), metal="Mn", target_percent=Decimal("0.05"),
    ...                   resinate_metal_percent=Decimal(5), basis="oil").resinate_g
    Decimal('10.00')
    """
    positive(oil_g, "oil_g")
    at_least(resin_g, 0, name="resin_g")
    _allowed(metal, sold_to_public=True)
    above(target_percent, 0, high=_HIGHEST_METAL_PERCENT, name="target_percent")
    strength = _strength(resinate_metal_percent, "resinate_metal_percent")
    on_oil = one_of(basis, drier_bases(), name="basis") == _OIL
    # On oil and resin the resinate raises its own basis, so its share is of what is left.
    left = strength if on_oil else strength - target_percent
    if target_percent > strength or not left:
        raise _too_weak(target_percent, strength, name="resinate_metal_percent")
    resinate_g = (oil_g if on_oil else oil_g + resin_g) * target_percent / left
    return ResinateDose(
        resinate_g,
        resinate_g * strength / 100,
        resin_g + resinate_g,
        _notes(metal, target_percent, basis=basis),
    )


def drier_level(
    drier_g: Decimal,
    drier_metal_percent: Decimal,
    *,
    metal: str,
    basis_g: Decimal,
    basis: str,
) -> DrierLevel:
    """Work out the level of metal that a drier gave.

    Parameters: drier_g [g, above 0; drier or resinate weighed]; drier_metal_percent [%, above 0
    up to 65; metal in it]; metal [one of `drier_metals()`]; basis_g [g, above 0; mass of what the
    level is a share of]; basis [one of `drier_bases()`].
    Returns: the metal in % of the basis and in g.
    Raises: OutOfRange for a number or a word.
    Source: mass balance; levels of tables/drier_metals.csv.

    >>> drier_level(Decimal(12), Decimal("4.5"), metal="Co", basis_g=Decimal(1500),
    ...             basis="oil").metal_percent
    Decimal('0.036')
    """
    one_of(metal, drier_metals(), name="metal")
    one_of(basis, drier_bases(), name="basis")
    strength = _strength(drier_metal_percent, "drier_metal_percent")
    metal_g = positive(drier_g, "drier_g") * strength / 100
    percent = 100 * metal_g / positive(basis_g, "basis_g")
    return DrierLevel(percent, metal_g, _notes(metal, percent, basis=basis))


def drier_levels(
    additions: Sequence[DrierAddition], basis_g: Decimal, *, basis: str
) -> DrierLevels:
    """Work out the level of each metal that several driers gave together.

    Parameters: additions [list of `DrierAddition`; driers add up metal by metal, never across
    metals]; basis_g [g, above 0; mass of what the levels are a share of]; basis [one of
    `drier_bases()`].
    Returns: each metal with its level in % of the basis and in g, and all drier in g.
    Raises: OutOfRange for a number or a word, NotApplicable for an empty list.
    Source: mass balance; levels of tables/drier_metals.csv.

    >>> drier_levels([DrierAddition("Co", Decimal(5), Decimal(6)),
    ...               DrierAddition("Co", Decimal(5), Decimal(10))],
    ...              Decimal(1000), basis="oil").levels[0].metal_percent
    Decimal('0.08')
    """
    count(additions, 1, name="additions")
    one_of(basis, drier_bases(), name="basis")
    positive(basis_g, "basis_g")
    metal_g: dict[str, Decimal] = {}
    for place, each in enumerate(additions):
        name = f"additions/{place}"
        one_of(each.metal, drier_metals(), name=f"{name}/metal")
        strength = _strength(each.drier_metal_percent, f"{name}/drier_metal_percent")
        grams = positive(each.drier_g, f"{name}/drier_g") * strength / 100
        metal_g[each.metal] = metal_g.get(each.metal, Decimal(0)) + grams
    levels = tuple(
        MetalLevel(metal, 100 * grams / basis_g, grams) for metal, grams in metal_g.items()
    )
    notes = [
        note for each in levels for note in _notes(each.metal, each.metal_percent, basis=basis)
    ]
    drier_g = sum((each.drier_g for each in additions), Decimal(0))
    return DrierLevels(levels, drier_g, tuple(dict.fromkeys(notes)))


def drier_volume(drier_g: Decimal, density_kg_l: Decimal) -> Decimal:
    """Turn a weighed drier into what a syringe measures.

    Parameters: drier_g [g, above 0]; density_kg_l [kg/l, 0.6-2.0; from the drier's data sheet].
    Returns: [ml] the volume. Raises: OutOfRange for either.
    Source: volume is mass over density.

    >>> round(drier_volume(Decimal("8.3333"), Decimal("0.88")), 2)
    Decimal('9.47')
    """
    return positive(drier_g, "drier_g") / plausible_density(density_kg_l)


def _allowed(metal: str, *, sold_to_public: bool) -> None:
    one_of(metal, drier_metals(), name="metal")
    if metal == _LEAD and sold_to_public:
        raise NotApplicable(
            "a lead drier has no place in a product sold to the public",
            "use zirconium and calcium beside cobalt or manganese",
            field="metal",
        )


def _strength(percent: Decimal, name: str) -> Decimal:
    return above(percent, 0, high=_HIGHEST_METAL_PERCENT, name=name)


def _too_weak(target: Decimal, strength: Decimal, *, name: str) -> OutOfRange:
    return OutOfRange(
        f"a drier of {strength:f} % metal cannot give {target:f} %",
        "send a stronger drier or a lower level",
        field=name,
    )


def _notes(metal: str, percent: Decimal, *, basis: str) -> tuple[str, ...]:
    """What is known of a metal and its level; a level on oil and resin is higher on the oil."""
    known = _metals()[metal]
    notes = [known.note]
    usual = f"{known.usual_from}-{known.usual_to} % on the oil"
    if known.warn_above is not None and percent > known.warn_above:
        notes.append(
            f"over {known.warn_above} % {metal}: more does not dry faster and harms the film"
        )
    elif percent > known.usual_to:
        notes.append(f"more {metal} than usual, {usual}")
    elif percent < known.usual_from and basis == _OIL:
        notes.append(f"less {metal} than usual, {usual}")
    if basis == _OIL_AND_RESIN:
        notes.append(_HIGHER_ON_OIL)
    return tuple(notes)


@functools.cache
def _metals() -> dict[str, _Metal]:
    return {
        row["metal"]: _Metal(
            Decimal(row["usual_from"]),
            Decimal(row["usual_to"]),
            Decimal(row["warn_above"]) if row["warn_above"] else None,
            row["note"],
        )
        for row in rows("drier_metals.csv")
    }
