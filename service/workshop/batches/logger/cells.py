"""Single cells of a logger's file, and what is wrong with them: pure."""

import re
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from service.errors import Fault, Remedy
from service.workshop.batches.bodies.cook_files import LogForm
from service.workshop.batches.rules import probe_reading

_NUMBER = re.compile(r"[+-]?\d{1,6}(?:\.\d{1,9})?")
_WITH_COMMA = re.compile(r"[+-]?\d{1,6},\d{1,9}")
_WHOLE = re.compile(r"\d{1,18}")
# Celsius from the other scales: first added, then times, then divided.
_SCALES = {
    "C": (Decimal(0), 1, 1),
    "F": (Decimal(-32), 5, 9),
    "K": (Decimal("-273.15"), 1, 1),
}
_MARKS = {"point": ".", "comma": ","}
_LONGEST_REMARK = 200
Way = tuple[str, dict[str, Any]]


class Wrong(Exception):
    """One thing wrong with a row."""

    def __init__(self, code: str, detail: str, hint: str, ways: Sequence[Way] = ()) -> None:
        super().__init__(detail)
        self.code, self.detail, self.hint, self.ways = code, detail, hint, ways

    def at(self, place: str) -> Fault:
        """The fault at a place of the file."""
        return Fault(
            self.detail,
            self.code,
            pointer=place,
            hint=self.hint,
            remedies=tuple(stating(when, change) for when, change in self.ways),
        )


def stating(when: str, change: dict[str, Any], then: str | None = None) -> Remedy:
    """A remedy that states something else: a merge patch on the query parameters."""
    return Remedy(when, {"query": change}, then)


def celsius(cell: str, form: LogForm) -> tuple[Decimal | None, str | None]:
    """The temperature to a thousandth, or why it cannot be one. Raises Wrong."""
    if _WITH_COMMA.fullmatch(cell) and form.decimal == "point":
        hint = "State decimal=comma, or export with a point."
        way: Way = ("the comma is the decimal mark", {"decimal": "comma"})
        raise Wrong("decimal-comma", f"{cell!r} has a comma in it.", hint, (way,))
    if form.decimal == "comma" and "." in cell and _NUMBER.fullmatch(cell):
        way = ("the point is the decimal mark", {"decimal": "point"})
        raise Wrong("decimal-point", f"{cell!r} has a point in it.", "State decimal.", (way,))
    text = cell.replace(_MARKS[form.decimal], ".")
    if not _NUMBER.fullmatch(text):
        return None, "the probe gave no number" if text else "the probe gave nothing"
    add, times, over = _SCALES[form.unit]
    return probe_reading((Decimal(text) + add) * times / over)


def running_number(cell: str) -> int:
    """Raises Wrong."""
    if not _WHOLE.fullmatch(cell):
        wrong = f"{cell[:40]!r} is no running number."
        raise Wrong(
            "bad-seq", wrong, "A whole number from 0.", (("the rows bear none", {"seq": None}),)
        )
    return int(cell)


def backwards(at: datetime, last: datetime) -> Wrong:
    wrong = f"{at:%Y-%m-%d %H:%M:%S} is before the row above ({last:%Y-%m-%d %H:%M:%S}), in UTC."
    way: Way = ("the times are right and the rows in no order", {"order": "any"})
    return Wrong("time-backwards", wrong, "Time runs backwards here.", (way,))


def words(cell: str) -> str | None:
    """A remark without what no text may hold, as far as it fits."""
    text = "".join(letter if letter.isprintable() else " " for letter in cell).strip()
    return text[:_LONGEST_REMARK] or None
