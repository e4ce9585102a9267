"""The plain parts a document is set from: frozen words and numbers, nothing looked up later.

A number is a `Decimal` and keeps the digits it was given; words are `str`. The type decides
how a value is set and whether a spreadsheet may take it for a formula, so nothing is guessed.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from urllib.parse import urlsplit

STANDING = 3  # cautions read before the first line; a fourth would be skimmed


@dataclass(frozen=True, slots=True)
class Note:
    """A footnote: what stands behind every figure that names it."""

    name: str
    basis: str
    method: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """A page, or another form of this one, for readers on a screen."""

    text: str
    href: str

    def __post_init__(self) -> None:
        if not (_is_path(self.href) or _is_web_address(self.href)):
            raise ValueError(f"a link leads to a path or a web address, not to {self.href!r}")


@dataclass(frozen=True, slots=True)
class Heading:
    """A section's name; level 1 is the document's own title."""

    text: str
    level: int = 2

    def __post_init__(self) -> None:
        if self.level not in (2, 3):
            raise ValueError(f"a section heading has level 2 or 3, not {self.level}")


@dataclass(frozen=True, slots=True)
class Paragraph:
    text: str
    emphasis: bool = False


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of a list of facts: a number with unit and basis, or plain words."""

    label: str
    value: Decimal | str
    unit: str = ""
    basis: str = ""
    note: str | None = None

    def __post_init__(self) -> None:
        _require_finite(self.value)


@dataclass(frozen=True, slots=True)
class Facts:
    rows: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in a table's cell, with its unit and, where it is a figure, its basis."""

    value: Decimal
    unit: str = ""
    basis: str = ""
    note: str | None = None

    def __post_init__(self) -> None:
        _require_finite(self.value)


Cell = str | Decimal | Quantity


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under named columns; the first cell of a row names the row."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    caption: str = ""

    def __post_init__(self) -> None:
        if any(len(row) != len(self.columns) for row in self.rows):
            raise ValueError("every row of a table has one cell under each column")
        for cell in (cell for row in self.rows for cell in row):
            _require_finite(cell)

    def holds_numbers(self, column: int) -> bool:
        """Whether a column is one of figures, blanks aside, and is set flush right."""
        cells = [row[column] for row in self.rows if row[column] != ""]
        return bool(cells) and not any(isinstance(cell, str) for cell in cells)


@dataclass(frozen=True, slots=True)
class Seen:
    """One thing put on the film and what was seen, as a sentence."""

    text: str
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Observations:
    rows: tuple[Seen, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning for the reader; `rule` is the code of what called for it."""

    text: str
    rule: str = ""


@dataclass(frozen=True, slots=True)
class Preformatted:
    """Text to be copied as it stands: a formula, a command, a signature."""

    text: str


@dataclass(frozen=True, slots=True)
class Form:
    """A look-up with one field, sent as a query; it works without any script."""

    action: str
    label: str
    name: str
    button: str

    def __post_init__(self) -> None:
        if not _is_path(self.action):
            raise ValueError(f"a form asks its own host, not {self.action!r}")


@dataclass(frozen=True, slots=True)
class Choice:
    """One page to go on to, with what tells it from the others."""

    link: Link
    text: str = ""


@dataclass(frozen=True, slots=True)
class Choices:
    """Pages of which the reader chooses one."""

    rows: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Task:
    """One thing done by hand: a number to call it by, what to do, and what it aims at.

    `target` is None where nothing is measured; `detail` says more in smaller letters.
    """

    number: str
    text: str
    target: Decimal | str | None = None
    unit: str = ""
    tolerance: str = ""
    lots: tuple[str, ...] = ()
    detail: str = ""

    def __post_init__(self) -> None:
        _require_finite(self.target)
        if not 1 <= len(self.number) <= 6 or self.number != self.number.strip():
            raise ValueError(f"a task has a short number, not {self.number!r}")


@dataclass(frozen=True, slots=True)
class Worksheet:
    """One stage of work on paper: cautions, then tasks to tick off and write beside.

    Cautions stand in the order of their weight: the first few before the tasks, the rest folded.
    """

    heading: str
    tasks: tuple[Task, ...]
    cautions: tuple[Caution, ...] = ()

    def __post_init__(self) -> None:
        if len({task.number for task in self.tasks}) != len(self.tasks):
            raise ValueError("two tasks of a stage bear the same number")

    @property
    def standing(self) -> tuple[Caution, ...]:
        """The cautions that nobody can miss."""
        return self.cautions[:STANDING]

    @property
    def folded(self) -> tuple[Caution, ...]:
        """The cautions that follow the tasks."""
        return self.cautions[STANDING:]


Block = (
    Heading
    | Paragraph
    | Facts
    | Table
    | Observations
    | Caution
    | Preformatted
    | Form
    | Choices
    | Worksheet
)


@dataclass(frozen=True, slots=True)
class Document:
    """A whole sheet; `notice` is a banner such as a recall and is None when all is well.

    `links` are other forms of the same sheet; other pages to go to are `Choices`. `digest` tells
    one print from another, so that a sheet found on the bench is known for what it is.
    """

    title: str
    subtitle: str
    language: str
    blocks: tuple[Block, ...]
    notice: str | None = None
    links: tuple[Link, ...] = ()
    footnotes: tuple[Note, ...] = ()
    json_ld: Mapping[str, object] | None = None
    canonical_url: str | None = None
    digest: str = ""

    def __post_init__(self) -> None:
        if self.canonical_url is not None and not _is_web_address(self.canonical_url):
            raise ValueError(f"a canonical address is absolute, not {self.canonical_url!r}")
        _require_matching_notes(self.footnotes, set(self.notes_used()))

    def notes_used(self) -> Iterator[str]:
        """The names of footnotes in the order a reader meets them, repeats included."""
        for block in self.blocks:
            yield from (part.note for part in _noted_parts(block) if part.note is not None)


def _noted_parts(block: Block) -> Iterable[Fact | Seen | Quantity]:
    match block:
        case Facts(rows=facts):
            return facts
        case Observations(rows=seen):
            return seen
        case Table(rows=rows):
            return [cell for row in rows for cell in row if isinstance(cell, Quantity)]
        case _:
            return ()


def _require_matching_notes(footnotes: tuple[Note, ...], used: set[str]) -> None:
    """A mark without its note, or a note nobody points at, is a misprint: refuse to set it."""
    times = Counter(note.name for note in footnotes)
    faults = {
        "missing": used - times.keys(),
        "unused": times.keys() - used,
        "given twice": {name for name, count in times.items() if count > 1},
    }
    for fault, names in faults.items():
        if names:
            raise ValueError(f"footnotes {fault}: {', '.join(sorted(names))}")


def _require_finite(value: object) -> None:
    if isinstance(value, Decimal) and not value.is_finite():
        raise ValueError(f"{value} cannot be printed as a figure")


def _is_path(address: str) -> bool:
    """A path on the own host; `//host` and `/\\host` would lead elsewhere."""
    return address.startswith("/") and address[1:2] not in ("/", "\\") and address.isprintable()


def _is_web_address(address: str) -> bool:
    parts = urlsplit(address)
    return parts.scheme in ("http", "https") and bool(parts.netloc) and address.isprintable()
