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

from service.science.rounding import plain
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
    Written,
    refusal,
)
from service.workshop.batches.bodies.cook_log import CookTemperature
from service.workshop.batches.bodies.entries import Grams, Weight, WrittenFigure
from service.workshop.deviations.bodies import Flag


class WeighedIn(In):
    """A weighing of a line, where more is to be said than the figure."""

    weighed: Grams
    lot: Line | None = None
    substitute: bool = False
    balance: Code | None = None
    checked_by: Code | None = None
    at: Mark | None = Field(default=None, description='"14:20" or "about 14:20"')


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
    yield_: Weight | None = Field(default=None, alias="yield")
    finished: bool = False

    @model_validator(mode="after")
    def _says_something(self) -> "PageIn":
        entered = any(entry is not None for entry in self.lines.values())
        if not (entered or self.cook or self.notes or self.yield_ or self.finished):
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
    state: str
    lot: str | None = Field(description="The lot that was made, where the page finished it.")
    lines: list[PageLine]
    figures: list[WrittenFigure] = Field(description="The loss of the version, where it finished.")
    flags: list[Flag]
    open_deviations: list[str]
    dry_run: bool = False
