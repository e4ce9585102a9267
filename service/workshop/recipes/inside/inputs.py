"""What sums go by: known values as inputs, and the parts of a charge."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from service.science.densities import density_to_20
from service.science.errors import ScienceError
from service.science.rounding import plain, round_significant
from service.workshop.materials.queries import AnyFigure, note_of
from service.workshop.materials.rules import properties
from service.workshop.recipes.rules import role

_ROOM_C = Decimal(20)
_NEAR_K = Decimal(5)  # in which a liquid's density changes by less than half a percent


@dataclass(frozen=True, slots=True)
class Known:
    """An input of a calculation: itself a figure, in the property's canonical unit."""

    name: str
    value: Fraction
    unit: str
    basis: str
    shown: str
    more: Mapping[str, Any] = field(default_factory=dict)

    def as_json(self) -> dict[str, Any]:
        told = {"name": self.name, "value": self.shown, "unit": self.unit, "basis": self.basis}
        return {**told, **self.more}


class Part(NamedTuple):
    """A portion of the charge that counts as one thing: oil, resin, or neither."""

    line: int
    material: str
    family: str | None
    charged: Fraction
    kept: Fraction

    @property
    def role(self) -> str | None:
        return role(self.family)


def input_of(row: AnyFigure, label: str, slope: AnyFigure | None = None) -> Known | None:
    """A recorded figure as an input, under the name that the note gives it; a density as it is at
    20 °C, by its fall per kelvin where that is known."""
    return _at_20(row, label, slope) if row.property == "density" else _as_read(row, label)


def _as_read(row: AnyFigure, label: str) -> Known:
    more = {key: text for key, text in note_of(row).items() if key != "basis"}
    if row.subject_kind == "lot":
        more["lot"] = row.subject
    return Known(
        name=label,
        value=Fraction(row.value),
        unit=properties()[row.property].unit,
        basis=row.basis,
        shown=plain(row.value),
        more=more,
    )


def _at_20(row: AnyFigure, label: str, slope: AnyFigure | None) -> Known | None:
    """Brought to 20 °C where it was read at another temperature; within 5 K and without the fall
    per kelvin as it was read, which is said; else not known."""
    known, read_at = _as_read(row, label), row.temperature_c
    if read_at is None or read_at == _ROOM_C:
        return known
    if slope is None:
        near = abs(read_at - _ROOM_C) <= _NEAR_K
        said = f"read at {plain(read_at)} °C, not brought to 20 °C"
        return replace(known, more={**known.more, "valid": said}) if near else None
    try:
        value = density_to_20(row.value, read_at, slope_kg_m3_k=slope.value).value
    except ScienceError:  # beyond where the straight line holds
        return None
    said = (
        f"{known.shown} kg/l at {plain(read_at)} °C, brought to 20 °C by the figure {slope.number}"
    )
    return replace(
        known,
        value=Fraction(value),
        basis="calculated",
        shown=plain(round_significant(value, 4)),
        more={**known.more, "how": said},
    )
