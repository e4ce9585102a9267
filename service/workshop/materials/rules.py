"""What materials and figures may be: pure."""

import csv
import functools
import re
from dataclasses import dataclass
from decimal import Decimal
from importlib.resources import files

from service.errors import NotFound
from service.science import units
from service.science.units import Quantity

COUNTED = frozenset({"container", "closure", "label"})


class UnknownMaterial(NotFound):
    slug = "material-unknown"
    title = "There is no such material"


class UnknownFigure(NotFound):
    slug = "figure-unknown"
    title = "There is no such figure"


@dataclass(frozen=True, slots=True)
class Property:
    """What a figure can be about."""

    name: str
    label: str
    dimension: str
    low: Decimal
    high: Decimal
    needs_method: bool

    @property
    def unit(self) -> str:
        return units.CANONICAL[self.dimension]


@functools.cache
def properties() -> dict[str, Property]:
    """All properties by name."""
    text = files(__package__).joinpath("properties.csv").read_text("utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return {
        row["property"]: Property(
            row["property"],
            row["label"],
            row["dimension"],
            Decimal(row["low"]),
            Decimal(row["high"]),
            row["method"] == "yes",
        )
        for row in rows
    }


def figure_problem(known: Property, quantity: Quantity) -> str | None:
    """Why a value cannot be right for its property, or None."""
    size = units.canonical(quantity)
    if known.low <= size <= known.high:
        return None
    return f"{known.label} {quantity} is outside {known.low} to {known.high} {known.unit}."


def missing_evidence(known: Property, *, basis: str, source: str | None, method: str | None) -> str:
    """Which of `source` and `method` a figure's basis still needs, or an empty text."""
    if basis in {"declared", "handbook"} and source is None:
        return "source"
    if method is None and (basis in {"measured", "calculated"} or known.needs_method):
        return "method"
    return ""


def cas_problem(number: str) -> str | None:
    """What is wrong with a CAS Registry Number: form, or its check digit (CAS, "Check Digit
    Verification of CAS Registry Numbers")."""
    if not re.fullmatch(r"[0-9]{2,7}-[0-9]{2}-[0-9]", number):
        return "it has the form 64742-82-1"
    digits = number.replace("-", "")
    total = sum(place * int(digit) for place, digit in enumerate(reversed(digits[:-1]), 1))
    return None if total % 10 == int(digits[-1]) else "its check digit does not fit"


def ec_problem(number: str) -> str | None:
    """What is wrong with an EC number: form, or its check digit (ECHA, EC Inventory)."""
    if not re.fullmatch(r"[0-9]{3}-[0-9]{3}-[0-9]", number):
        return "it has the form 265-185-4"
    digits = number.replace("-", "")
    total = sum(place * int(digit) for place, digit in enumerate(digits[:-1], 1))
    return None if total % 11 == int(digits[-1]) else "its check digit does not fit"


def lot_prefix(code: str) -> str:
    """The beginning of a material's lot numbers where none is given: its code without hyphens."""
    return code.replace("-", "")[:8]
