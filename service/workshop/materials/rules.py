"""What materials and figures may be: pure."""

import csv
import functools
import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from importlib.resources import files

from service.errors import Fault, NotFound, Remedy, at
from service.science import units
from service.science.driers import drier_metals
from service.science.formulas import elements, parse_formula
from service.science.units import Quantity

COUNTED = frozenset({"container", "closure", "label"})
AQUATIC = frozenset({"H400", "H410"})
_MORE_METALS = ("Na", "K", "Al", "Cu")  # of resinates and soaps, beside those of driers


_APART = ("non_volatile", "water", "exempt")
_ALL_PERCENT = 100


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
    needs_temperature: bool

    @property
    def unit(self) -> str:
        return units.CANONICAL[self.dimension]


def _rows(table: str) -> list[dict[str, str]]:
    text = files(__package__).joinpath(table).read_text("utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@functools.cache
def properties() -> dict[str, Property]:
    """All properties by name."""
    return {
        row["property"]: Property(
            row["property"],
            row["label"],
            row["dimension"],
            Decimal(row["low"]),
            Decimal(row["high"]),
            row["method"] == "yes",
            row["temperature"] == "yes",
        )
        for row in _rows("properties.csv")
    }


@functools.cache
def hazard_categories() -> dict[str, tuple[str, ...]]:
    """The codes of hazard statements a substance can carry, each with its categories."""
    rows = _rows("hazard_codes.csv")
    return {row["code"]: tuple(filter(None, row["categories"].split("|"))) for row in rows}


@functools.cache
def metals() -> tuple[str, ...]:
    """The metals that driers, resinates and soaps of the trade are made with."""
    wanted = {*drier_metals(), *_MORE_METALS}
    return tuple(element for element in elements() if element in wanted)


def metal_problem(metal: str | None, formula: str | None) -> str | None:
    """What does not fit between the metal that a material holds and its formula, or None."""
    if metal is None or formula is None or metal in parse_formula(formula):
        return None
    return f"There is no {metal} in {formula}"


def shares_problem(shares: Mapping[str, Decimal]) -> str | None:
    """What does not add up between shares of one material in percent, or None; exempt solvent and
    water are volatile, so neither is part of the non-volatile."""
    parts = [shares[name] for name in _APART if name in shares]
    if sum(parts, Decimal(0)) <= _ALL_PERCENT:
        return None
    named = " and ".join(name.replace("_", "-") for name in _APART if name in shares)
    return f"{named} come to more than {_ALL_PERCENT} %"


def figure_problem(known: Property, quantity: Quantity) -> str | None:
    """Why a value cannot be right for its property, or None."""
    size = units.canonical(quantity)
    if known.low <= size <= known.high:
        return None
    return f"{known.label} {quantity} is outside {known.low} to {known.high} {known.unit}."


def missing_evidence(known: Property, *, basis: str, stated: Collection[str]) -> str:
    """Which of `source`, `method` and `temperature` a figure still needs beside those `stated`, or
    an empty text: a viscosity without its temperature says nothing."""
    if basis in {"declared", "handbook"} and "source" not in stated:
        return "source"
    if (basis in {"measured", "calculated"} or known.needs_method) and "method" not in stated:
        return "method"
    if known.needs_temperature and "temperature" not in stated:
        return "temperature"
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


def category_problem(code: str, category: str | None) -> str | None:
    """Why a hazard class and category cannot carry a statement, or None."""
    known = hazard_categories()[code]
    if category is None or category in known:
        return None
    return f"{code} is the statement of {' or '.join(known) or 'no hazard class'}."


def repeated(pairs: Iterable[tuple[str, str | None]]) -> int | None:
    """Where a statement stands twice that its category does not tell apart, or None."""
    seen: dict[str, set[str | None]] = {}
    for place, (code, category) in enumerate(pairs):
        before = seen.setdefault(code, set())
        if category in before or (before and None in {category, *before}):
            return place
        before.add(category)
    return None


@dataclass(frozen=True, slots=True)
class ListPrice:
    """What a supplier asks for a material of which nothing needs to have been bought."""

    value: Decimal | None
    per: str | None
    source: str | None
    on: date | None


def price_faults(kind: str, price: ListPrice) -> tuple[Fault, ...]:
    """What keeps a list price from being one."""
    if price.value is None:
        if price.source is None and price.on is None:
            return ()
        wrong = "A source or a day says nothing without the price."
        return at("#/price", wrong, "price-missing", hint='Send "price": {"value", "per"}.')
    return (*_per_faults(kind, price.per), *_evidence_faults(price))


def _per_faults(kind: str, per: str | None) -> tuple[Fault, ...]:
    fitting = ("piece",) if kind in COUNTED else ("kg", "l")
    if per in fitting:
        return ()
    wrong = f"A {kind} is priced per {' or '.join(fitting)}."
    ways = [Remedy(f"the price is per {each}", {"price": {"per": each}}) for each in fitting]
    return at("#/price/per", wrong, "wrong-per", remedies=tuple(ways))


def _evidence_faults(price: ListPrice) -> tuple[Fault, ...]:
    lacking = {"price_source": price.source, "price_on": price.on}
    hints = {"price_source": "Say whose list it is.", "price_on": "Say on which day it was read."}
    return tuple(
        Fault(
            detail=f"A list price needs its {name}.",
            code="evidence-missing",
            pointer=f"#/{name}",
            hint=hints[name],
        )
        for name, value in lacking.items()
        if value is None
    )


def no_currency() -> Fault:
    """The fault of a price in a workshop without a currency."""
    wrong = "The workshop has no currency yet, so a price says nothing."
    hint = 'Say which: PATCH /v1/workshop with {"currency": "EUR"}, and send this again.'
    return Fault(detail=wrong, code="currency-missing", pointer="#/price", hint=hint)
