"""The lot data sheet as plain public values: what is not a field here cannot reach the public."""

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Seen:
    """One test of the film, and what its trials showed."""

    tried: str
    text: str
    n: int
    lot: str
    note: str
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotTried:
    """What was not put on it; it stands as large as what was."""

    text: str
    list: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Constant:
    """A figure of the lot with its sentence."""

    name: str
    label: str
    value: str
    unit: str
    basis: str
    note: str
    text: str


@dataclass(frozen=True, slots=True)
class Content:
    """One ingredient; `share` is a range, and only where the product tells ranges."""

    name: str
    share: str | None


@dataclass(frozen=True, slots=True)
class Hazards:
    """What the label says of hazards; no class is worked out here, and none is ruled out."""

    market: str | None
    language: str
    cautions: tuple[str, ...]
    finding: str = "not_assessed"
    signal: str | None = None
    pictograms: tuple[dict[str, str], ...] = ()
    statements: tuple[dict[str, str], ...] = ()
    text: str | None = None


@dataclass(frozen=True, slots=True)
class Panelled:
    """The footnote of what was seen on one panel."""

    panel: str
    lot: str
    coats: int | None
    film: str | None
    age: str | None
    room: str | None
    on: str
    method: str
    basis: str = "measured"


@dataclass(frozen=True, slots=True)
class Measured:
    """The footnote of replicate readings, or of one recorded figure."""

    method: str
    on: str
    n: int
    low: str
    high: str
    lot: str
    figure: str
    readings: tuple[str, ...]
    basis: str = "measured"


@dataclass(frozen=True, slots=True)
class Calculated:
    """The footnote of a calculated figure."""

    how: str
    batch: str
    basis: str = "calculated"


Footnote = Panelled | Measured | Calculated


def told(note: Footnote) -> dict[str, Any]:
    """A footnote says only what is known."""
    found: dict[str, Any] = _plain(asdict(note))
    return {name: value for name, value in found.items() if value is not None}


@dataclass(frozen=True, slots=True)
class LotSheet:
    """The whole sheet of one packed lot."""

    lot: str
    product: str
    name: str
    revision: int
    published_on: str
    made_on: str | None
    filled_on: str | None
    net: str
    url: str
    age: str
    saw: tuple[Seen, ...]
    not_tried: NotTried
    constants: tuple[Constant, ...]
    contents: tuple[Content, ...] | None
    hazards: Hazards
    directions: str | None
    best_before: str | None
    after_opening: str | None
    notes: dict[str, dict[str, Any]]

    def as_json(self) -> dict[str, Any]:
        """The sheet as it is frozen."""
        found: dict[str, Any] = _plain(asdict(self))
        return found


def _plain(value: Any) -> Any:
    """Tuples as lists, which is what comes back from the frozen bytes."""
    if isinstance(value, dict):
        return {name: _plain(inner) for name, inner in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(inner) for inner in value]
    return value
