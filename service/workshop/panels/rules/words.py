"""The closed list of words for what was seen, and how a row is read by it."""

import csv
import functools
from dataclasses import dataclass
from importlib.resources import files

NOTHING = ("none", "nothing", "nothing seen", "no change")


class WordUnknown(ValueError):
    """A row that the list of words does not cover; `hint` says what it does."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message, self.hint = message, hint


@dataclass(frozen=True, slots=True)
class Word:
    """An effect as the list names it, and as it stands in a sentence."""

    word: str
    alone: str
    with_extent: str


@dataclass(frozen=True, slots=True)
class Seen:
    """One effect, and how much of it."""

    effect: str
    extent: str | None = None


@functools.cache
def _rows() -> tuple[dict[str, str], ...]:
    text = files("service.workshop.panels").joinpath("effects.csv").read_text("utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    return tuple(csv.DictReader(lines))


@functools.cache
def effects() -> dict[str, Word]:
    """Every effect by its word."""
    return {
        row["word"]: Word(row["word"], row["alone"], row["with_extent"])
        for row in _rows()
        if row["kind"] == "effect"
    }


@functools.cache
def extents() -> tuple[str, ...]:
    """The extents, the smallest first."""
    return tuple(row["word"] for row in _rows() if row["kind"] == "extent")


@functools.cache
def _spelled(kind: str) -> dict[str, str]:
    """Every accepted spelling of a kind of word."""
    return {
        spelling: row["word"]
        for row in _rows()
        if row["kind"] == kind
        for spelling in (row["word"], *filter(None, row["also"].split("|")))
    }


def read_seen(text: str) -> tuple[Seen, ...]:
    """What a row such as "colour on cloth, strong; softening" says; empty for "none".

    Raises WordUnknown, listing the words.
    """
    if _tidy(text) in NOTHING:
        return ()
    found = tuple(_one(part) for part in text.split(";") if part.strip())
    if not found:
        raise WordUnknown("The row does not say what was seen.", _hint())
    words = [seen.effect for seen in found]
    if len(set(words)) < len(words):
        raise WordUnknown("The row names an effect twice.", "Name each effect once.")
    return found


def _one(part: str) -> Seen:
    """One effect with its extent behind a comma, or in front: "whitening, faint"."""
    head, comma, tail = part.partition(",")
    head, tail = _tidy(head), _tidy(tail)
    if not comma:
        head, tail = _extent_in_front(head)
    if (effect := _spelled("effect").get(head)) is None:
        raise WordUnknown(f"“{head[:40]}” is no word of the list of effects.", _hint())
    if not tail:
        return Seen(effect)
    if (extent := _spelled("extent").get(tail)) is None:
        wanted = f"Extents: {', '.join(extents())}. Separate effects by semicolons."
        raise WordUnknown(f"“{tail[:40]}” is no extent.", wanted)
    return Seen(effect, extent)


def _extent_in_front(head: str) -> tuple[str, str]:
    for spelling in sorted(_spelled("extent"), key=len, reverse=True):
        if head.startswith(f"{spelling} "):
            return head.removeprefix(spelling).strip(), spelling
    return head, ""


def _tidy(text: str) -> str:
    return " ".join(text.casefold().replace("color", "colour").split()).rstrip(".")


def _hint() -> str:
    return (
        f'Send "none", or effects such as "whitening, faint; softening". Effects: '
        f"{', '.join(effects())}. Extents: {', '.join(extents())}."
    )
