"""The acid, saponification and iodine values that the trade's materials usually have."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable
from service.science.ranges import one_of, within
from service.science.tables import rows

# Beyond this share outside its usual range a value is a slip or another material.
_TOLERANCE = Decimal("0.1")
_LIMITS = {
    "acid_value": ("acid", Decimal(0), Decimal(250)),
    "saponification_value": ("saponification", Decimal(50), Decimal(400)),
    "iodine_value": ("iodine", Decimal(0), Decimal(300)),
}


class Typicality(NamedTuple):
    """Whether no value lies more than 10 % outside its usual range, and the usual ranges."""

    plausible: bool
    usual: tuple[str, ...]
    origin: str
    notes: tuple[str, ...]


class _Usual(NamedTuple):
    low: Decimal | None
    high: Decimal | None

    @property
    def known(self) -> bool:
        return self.low is not None or self.high is not None

    def outside(self, value: Decimal) -> Decimal:
        """By how much of the nearer limit a value lies outside, 0 inside."""
        if self.low is not None and value < self.low:
            return 1 - value / self.low
        if self.high is not None and value > self.high:
            return value / self.high - 1
        return Decimal(0)

    def __str__(self) -> str:
        if self.low is None or self.high is None:
            return f"{self.low} or more" if self.high is None else f"up to {self.high}"
        return f"{self.low}-{self.high}" if self.low != self.high else f"{self.low}"


def typical_materials() -> tuple[str, ...]:
    """List the materials whose usual values are known.

    Parameters: none. Raises: nothing. Returns: their names. Source: tables/typical_values.csv.

    >>> "linseed raw" in typical_materials()
    True
    """
    return tuple(_rows())


def compare_with_typical(
    material: str,
    acid_value: Decimal | None = None,
    *,
    saponification_value: Decimal | None = None,
    iodine_value: Decimal | None = None,
) -> Typicality:
    """Compare measured values of an oil or a resin with those usual for it.

    Parameters: material [one of `typical_materials()`]; acid_value [mg KOH/g, 0-250; left out if
    not measured]; saponification_value [mg KOH/g, 50-400; left out if not measured];
    iodine_value [g I2/100 g, 0-300; left out if not measured].
    Returns: whether all lie within 10 % of the usual range, the usual ranges, and a note on each
    value outside.
    Raises: OutOfRange for a number or an unknown material, NotApplicable if no value was sent.
    Source: tables/typical_values.csv, partly read in data sheets and partly from memory.

    >>> compare_with_typical("linseed BP", iodine_value=Decimal(140)).plausible
    False
    """
    row = _rows()[one_of(material, typical_materials(), name="material")]
    sent = {
        "acid_value": acid_value,
        "saponification_value": saponification_value,
        "iodine_value": iodine_value,
    }
    values = {name: value for name, value in sent.items() if value is not None}
    if not values:
        raise NotApplicable("no value was sent", "send one value or more", field="acid_value")
    usual = {name: _usual(row, name) for name in _LIMITS}
    outside: dict[str, Decimal] = {}
    for name, value in values.items():
        _, low, high = _LIMITS[name]
        outside[name] = usual[name].outside(within(value, low, high=high, name=name))
    return Typicality(
        plausible=all(share <= _TOLERANCE for share in outside.values()),
        usual=tuple(f"{_said(name)} {span}" for name, span in usual.items() if span.known),
        origin=row["origin"],
        notes=tuple(
            note
            for name, share in outside.items()
            for note in _notes(material, name, usual=usual[name], outside=share)
        ),
    )


def _notes(material: str, name: str, *, usual: _Usual, outside: Decimal) -> tuple[str, ...]:
    if not usual.known:
        return (f"no usual {_said(name)} of {material} is known here",)
    if not outside:
        return ()
    measured = f"the {_said(name)} is outside the usual {usual} of {material}"
    if outside <= _TOLERANCE:
        return (f"{measured}, by less than 10 %",)
    return (f"{measured} by more than 10 %: measure again, or it is another material",)


def _said(name: str) -> str:
    return name.replace("_", " ")


def _usual(row: dict[str, str], name: str) -> _Usual:
    column = _LIMITS[name][0]
    low, high = (row[f"{column}_{end}"] for end in ("from", "to"))
    return _Usual(Decimal(low) if low else None, Decimal(high) if high else None)


@functools.cache
def _rows() -> dict[str, dict[str, str]]:
    return {row["material"]: row for row in rows("typical_values.csv")}
