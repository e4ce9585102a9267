"""Bodies of a page: what was written by hand on a batch sheet, entered at once."""

from decimal import Decimal
from typing import Annotated, Any

from pydantic import (
    BeforeValidator,
    Discriminator,
    Field,
    Tag,
    WithJsonSchema,
    model_validator,
)

from service.office.attachments.bodies import Attached, AttachmentName
from service.science.rounding import plain
from service.web.corrections import CorrectionIn, ReplacementIn, Traced
from service.web.fields import (
    Code,
    Day,
    Figure,
    In,
    Line,
    Mark,
    Out,
    Paragraph,
    Remark,
    Utc,
    Written,
    refusal,
)
from service.workshop.batches.bodies.balance import BalanceIn, Grams, Weight
from service.workshop.batches.bodies.cook_log import CookTemperature
from service.workshop.batches.bodies.entries import WrittenFigure
from service.workshop.batches.bodies.events import EventAtIn
from service.workshop.deviations.bodies import Flag


class WeighedIn(BalanceIn):
    """A weighing of a line, where more is to be said than the figure."""

    weighed: Grams | None = None
    lot: Line | None = None
    substitute: bool = False
    balance: Code | None = None
    checked_by: Code | None = None
    at: Mark | None = Field(default=None, description='"14:20" or "about 14:20"')

    @model_validator(mode="after")
    def _said(self) -> "WeighedIn":
        self.check_said("weighed", self.weighed)
        return self


class BesideIn(WeighedIn):
    """What went in beside the plan; each opens a deviation."""

    material: Code
    adjustment: int | None = Field(
        default=None, ge=1, le=10_000, description="The one it was added for, by its number."
    )


def _as_text(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return value
    number = Decimal(value)
    # Written out, 1e999999 would fill the memory; left as it is, it is no text.
    return plain(number) if abs(number.adjusted()) < 30 else value


def _entry_kind(value: Any) -> str:
    if isinstance(value, list):
        return "list[WeighedIn]"
    return "WeighedIn" if isinstance(value, dict | WeighedIn) else "str"


_SHORT = {
    "oneOf": [{"type": "string", "minLength": 1, "maxLength": 600}, {"type": "number"}],
    "description": "What was weighed, in g where no unit stands, or what was seen",
}
# The tags are named as pydantic names branches, which is how a pointer leaves them out.
LineEntry = Annotated[
    Annotated[Paragraph, BeforeValidator(_as_text), WithJsonSchema(_SHORT), Tag("str")]
    | Annotated[WeighedIn, Tag("WeighedIn")]
    | Annotated[list[WeighedIn], Field(min_length=1, max_length=20), Tag("list[WeighedIn]")],
    Discriminator(_entry_kind),
]
CookPair = tuple[Mark, CookTemperature]
CookTriple = tuple[Mark, CookTemperature, Line]


def _length(value: Any) -> str:
    return "tuple[3]" if isinstance(value, list | tuple) and len(value) == 3 else "tuple[2]"


CookEntry = Annotated[
    Annotated[CookPair, Tag("tuple[2]")] | Annotated[CookTriple, Tag("tuple[3]")],
    Discriminator(_length),
]
SheetNumber = Annotated[str, Field(pattern=r"^[1-9][0-9]{0,2}$")]


class PageIn(In):
    """The page as it stands: lines by number, the cook log, notes by time, the yield."""

    on: Day | None = Field(default=None, description="The day of the page; else today.")
    by: Code | None = None
    checked_by: Code | None = None
    lines: dict[SheetNumber, LineEntry | None] = Field(default={}, max_length=200)
    cook: list[CookEntry] = Field(
        default=[], max_length=500, description='["13:05", 60] or ["about 14:20", 240, "remark"]'
    )
    notes: dict[Mark, Remark] = Field(default={}, max_length=100, description="By time.")
    beside: list[BesideIn] = Field(
        default=[], max_length=50, description="What went in that no line plans."
    )
    events: list[EventAtIn] = Field(
        default=[], max_length=100, description="Of the closed list, each with its time."
    )
    yield_: Weight | None = Field(default=None, alias="yield")
    finished: bool = False
    photo: AttachmentName | None = Field(
        default=None, description="Of the page itself, the original; sent before, after or never."
    )

    @model_validator(mode="after")
    def _says_something(self) -> "PageIn":
        entered = any(entry is not None for entry in self.lines.values())
        said = self.cook or self.notes or self.beside or self.events
        if not (entered or said or self.yield_ or self.finished):
            hint = "Fill in what was done; lines that were not reached stay null."
            raise refusal("page-empty", "Nothing is entered on this page.", hint)
        return self


class PageLine(Out):
    line: int
    material: str
    lot: str
    weighed: Figure
    target: Figure | None
    verdict: str


class PageMade(Written):
    batch: str
    page: int
    photo: Attached | None = Field(description="Of the page itself.")
    state: str
    lot: str | None = Field(description="The lot that was made, where the page finished it.")
    lines: list[PageLine]
    figures: list[WrittenFigure] = Field(description="The loss of the version, where it finished.")
    flags: list[Flag]
    open_deviations: list[str]
    dry_run: bool = False


class PageReplacement(ReplacementIn):
    """What a page says by itself; its entries are corrected by their lines."""

    photo: AttachmentName


class PageCorrection(CorrectionIn):
    """Another photo, or the one that was missing; `void`: the photo is not of this page."""

    replaces: PageReplacement | None = None


class PageOut(Traced):
    """A page as it was entered; its entries name the day and are listed by themselves."""

    batch: str
    page: int
    photo: Attached | None = Field(description="Of the page itself.")
    by: str | None
    happened_at: Utc
    about: str | None
    entered_at: Utc


class PageCorrected(PageOut, Written):
    pass
