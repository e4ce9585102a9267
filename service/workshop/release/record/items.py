"""The items of a batch record, in the order of 21 CFR 211.188, and when one stands: pure."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal

from service.web.fields import Amount

Stands = Literal["yes", "no", "not yet"]
Data = Mapping[str, Any]

TITLES: Mapping[str, str] = {
    "A0": "The approved recipe it was made from",
    "A1": "When each step was done",
    "A2": "Equipment",
    "A3": "Lots that went in",
    "A4": "Weights, beside target and tolerance",
    "A5": "Readings in the process",
    "A6": "The place of filling and labelling, before and after",
    "A7": "Yield, and percent of theory",
    "A8": "Labels",
    "A9": "Containers and closures",
    "A10": "Samples",
    "A11": "Who did and who checked each step",
    "A12": "Deviations and what was concluded",
    "A13": "Examination of the filled packs",
}


@dataclass(frozen=True, slots=True)
class Item:
    """One item of the record: whether it stands, what it lacks, and what was entered."""

    name: str
    stands: Stands
    lacks: Sequence[str]
    data: Data

    def as_json(self) -> dict[str, Any]:
        return {
            "item": self.name,
            "title": TITLES[self.name],
            "stands": self.stands,
            "lacks": list(self.lacks),
            "data": dict(self.data),
        }


def item(name: str, lacks: Iterable[str], data: Data) -> Item:
    """An item of the making: it stands where nothing is lacking."""
    missing = list(lacks)
    return Item(name, "no" if missing else "yes", missing, data)


@dataclass(frozen=True, slots=True)
class OfFill:
    """What one fill has of an item, and what it lacks; `released` where it is too late to wait."""

    data: Data
    lacks: Sequence[str]
    released: bool


def filled_item(name: str, fills: Sequence[OfFill], data: Data) -> Item:
    """An item of the packs: until a pack that lacks something is released, it is still to come."""
    lacks = [lack for fill in fills for lack in fill.lacks]
    if not fills:
        return Item(name, "not yet", ["Nothing was filled from it yet."], data)
    if not lacks:
        return Item(name, "yes", (), data)
    late = any(fill.lacks and fill.released for fill in fills)
    return Item(name, "no" if late else "not yet", lacks, data)


def missing(items: Iterable[Item]) -> list[str]:
    """The items that do not stand, in their order."""
    return [one.name for one in items if one.stands != "yes"]


def differing(now: Sequence[Data], held: Sequence[Data]) -> list[str]:
    """The items that say something else now than when they were frozen."""
    before = {one["item"]: one for one in held}
    return [one["item"] for one in now if before.get(one["item"]) != one]


def instant(at: datetime | None) -> str | None:
    return None if at is None else at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def amount(shown: Amount | None) -> dict[str, str] | None:
    return None if shown is None else {"value": shown.value, "unit": shown.unit}
