"""What a function of the science says of itself: its inputs with units and ranges, its source.

The docstring is the only place where these stand; the address, the list and the OpenAPI document
are read off it, so that they cannot come to differ from it.
"""

import inspect
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

_SECTIONS = re.compile(r"\b(Parameters|Fields|Returns|Raises|Source):\s")
_INPUT = re.compile(r"([a-z][a-z0-9_]*(?:, [a-z][a-z0-9_]*)*) \[([^\]]*)\]([^;]*)(?:;|$)")
_CHOICES = re.compile(r"one of `(\w+)\(\)`")
_NUMBER = r"-?\d+(?:\.\d+)?"
_RANGES = (
    (rf"above ({_NUMBER}) up to ({_NUMBER})", (True, False)),
    (rf"above ({_NUMBER}) to below ({_NUMBER})", (True, True)),
    (rf"({_NUMBER})(?:-| to )({_NUMBER})", (False, False)),
    (rf"({_NUMBER}) to below ({_NUMBER})", (False, True)),
    (rf"above ({_NUMBER})()", (True, False)),
    (rf"({_NUMBER})() or more", (False, False)),
    (rf"up to ()({_NUMBER})", (False, False)),
    (rf"()below ({_NUMBER})", (False, True)),
    (r"()()any", (False, False)),
)


@dataclass(frozen=True, slots=True)
class Range:
    """The numbers an input may take; `open_low` and `open_high` leave the limit itself out."""

    low: Decimal | None
    high: Decimal | None
    open_low: bool
    open_high: bool


@dataclass(frozen=True, slots=True)
class Said:
    """What is said of one input."""

    bracket: str
    meaning: str

    @property
    def unit(self) -> str | None:
        """The unit of a number; None for anything else."""
        return self.bracket.partition(",")[0] if self.range else None

    @property
    def choices(self) -> str | None:
        """The function that lists what may be sent."""
        found = _CHOICES.match(self.bracket)
        return found[1] if found else None

    @property
    def range(self) -> Range | None:
        """The range of a number, or of each number of a list."""
        _, _, words = self.bracket.partition(";")[0].partition(", ")
        return read_range(words.removeprefix("each "))


@dataclass(frozen=True, slots=True)
class Words:
    """A docstring taken apart."""

    purpose: str
    inputs: dict[str, Said]
    returns: str
    source: str

    @property
    def unit(self) -> str | None:
        """The unit of a result that is a bare number."""
        found = re.match(r"\[([^\]]+)\]", self.returns)
        return found[1] if found else None


def read_range(words: str) -> Range | None:
    """The range that a docstring states in words; None where they are no range."""
    for form, (open_low, open_high) in _RANGES:
        if found := re.fullmatch(form, words.strip()):
            low, high = (Decimal(text) if text else None for text in found.groups())
            return Range(low, high, open_low, open_high)
    return None


def read(thing: Callable[..., Any] | type) -> Words:
    """Take a docstring apart. Raises LookupError where there is none, as under `python -OO`."""
    text = inspect.getdoc(thing)
    if not text:
        raise LookupError(f"{thing.__name__} has lost its docstring: do not start with -OO")
    prose = " ".join(text.partition(">>>")[0].split())
    purpose, *rest = _SECTIONS.split(prose)
    sections = dict(zip(rest[::2], (part.strip() for part in rest[1::2]), strict=True))
    return Words(
        purpose=purpose.strip(),
        inputs=_inputs(sections.get("Parameters") or sections.get("Fields", "")),
        returns=sections.get("Returns", "").rstrip("."),
        source=sections.get("Source", ""),
    )


def _inputs(section: str) -> dict[str, Said]:
    found: dict[str, Said] = {}
    for names, bracket, after in _INPUT.findall(section.rstrip(".") + ";"):
        words = bracket.partition(";")[2].strip()
        meaning = "; ".join(part for part in (words, after.strip(" ,.:")) if part)
        found |= {name: Said(bracket, meaning) for name in names.split(", ")}
    return found
