"""How a published lot stands, how its sheet says so, and what the public is told of numbers."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from service.press.text import day
from service.workshop.panels.rules.sentences import counted, not_tried
from service.workshop.stock.rules import mistyped, read_as

Days = tuple[str | None, str | None]
State = Literal["current", "correction", "withdrawn", "recalled"]

RATIO = "oil_to_resin"
# Stands in stored renderings where the public address will stand; `.invalid` is nobody's host.
ADDRESS = "https://lot-sheet.invalid"
_SOUND_ADDRESS = re.compile(r"https?://[A-Za-z0-9.:\[\]-]+(/[A-Za-z0-9._~/-]*)?")
_ADDRESSES = frozenset({"url", "svg", "csv", "page", "frozen"})

_NOTICES: Mapping[State, str | None] = {
    "current": None,
    "correction": "Under correction: the maker has corrected an entry that this sheet names. "
    "The next revision will say what changed.",
    "withdrawn": "The maker has taken this lot off sale.",
    "recalled": "Product safety recall. Stop using what is in this jar and write to the maker.",
}


@dataclass(frozen=True, slots=True)
class Status:
    """How a published lot stands now; it is on the face of every form but the frozen bytes."""

    state: State
    sold_from: date
    checked_on: date

    @property
    def notice(self) -> str | None:
        return _NOTICES[self.state]

    @property
    def text(self) -> str:
        sold, checked = day(self.sold_from, "en"), day(self.checked_on, "en")
        return f"Sold from {sold}, checked by the maker on {checked}."

    def as_json(self) -> dict[str, Any]:
        return {
            "state": "under correction" if self.state == "correction" else self.state,
            "notice": self.notice,
            "text": self.text,
            "sold_from": self.sold_from.isoformat(),
            "checked_on": self.checked_on.isoformat(),
        }


def state_of(quality: str, *, corrected: bool) -> State:
    """The public state of a lot that was published once."""
    if quality == "recalled":
        return "recalled"
    if quality != "released":
        return "withdrawn"
    return "correction" if corrected else "current"


def age(made_on: date | None, films: Iterable[tuple[int | None, int | None]]) -> str:
    """When it was made, and what film it was tested on: (coats, days) of each reading."""
    made = f"Made {day(made_on, 'en')}" if made_on else "The day of making is not recorded"
    found = set(films)
    if not found:
        return f"{made}."
    coats = _spread({count for count, _ in found if count}, "coat")
    days = _spread({count for _, count in found if count is not None}, "day")
    panel = "a panel" if len(found) == 1 else "panels"
    parts = [part for part in (coats, f"{days} old" if days else "") if part]
    return f"{made}; tested on {panel} of the same kettle{''.join(f', {p}' for p in parts)}."


def _spread(counts: set[int], noun: str) -> str:
    if not counts:
        return ""
    low, high = min(counts), max(counts)
    if low == high:
        return counted(low, noun)
    return f"{low} to {high} {noun}s"


def not_put_on(tried: bool, words: Sequence[str]) -> str:
    """The sentence on what was not tried, of a lot that was or was not tried at all."""
    return not_tried(words) if tried else "Nothing was put on a film of this lot."


def absolute(value: Any, address: str = ADDRESS) -> Any:
    """A sheet's JSON with its addresses made whole, so that it can stand on any site."""
    if isinstance(value, dict):
        return {
            name: address + inner
            if name in _ADDRESSES and isinstance(inner, str) and inner.startswith("/")
            else absolute(inner, address)
            for name, inner in value.items()
        }
    return [absolute(inner, address) for inner in value] if isinstance(value, list) else value


def at_address(stored: bytes, address: str) -> bytes:
    """A stored rendering as it is served under a public address."""
    return stored.replace(ADDRESS.encode(), sound_address(address).encode())


def sound_address(address: str) -> str:
    """An address that can stand in any form unescaped; a host header may hold anything."""
    tidy = address.rstrip("/")
    return tidy if _SOUND_ADDRESS.fullmatch(tidy) else "http://localhost"


def named_readings(content: Mapping[str, Any]) -> set[str]:
    """The numbers of all readings that a frozen sheet names."""
    seen = {number for line in content["saw"] for number in line["readings"]}
    noted = {number for note in content["notes"].values() for number in note.get("readings", ())}
    return seen | noted


def named_figures(content: Mapping[str, Any]) -> set[str]:
    """The numbers of all recorded figures that a frozen sheet names."""
    return {note["figure"] for note in content["notes"].values() if "figure" in note}


def named_days(content: Mapping[str, Any]) -> Days:
    """The days of making and filling that a frozen sheet tells."""
    return content["made_on"], content["filled_on"]


def named_ratio(content: Mapping[str, Any]) -> str | None:
    """The oil to resin that a frozen sheet tells, worked out from weighings."""
    return next((one["value"] for one in content["constants"] if one["name"] == RATIO), None)


def said_of_unknown(typed: str) -> str:
    """What a buyer is told of a number that cannot be found."""
    if mistyped(typed):
        return (
            f"{read_as(typed)} cannot be right: its last character does not fit the others. "
            "Please look at the jar again."
        )
    return (
        f"No lot of the number {read_as(typed)} has been published. Please look at the jar again."
    )
