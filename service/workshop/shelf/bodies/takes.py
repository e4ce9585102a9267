"""Bodies of stock takes: which lots are listed, the sheet to count by, what has been counted."""

from typing import Annotated

from pydantic import ConfigDict, Field, model_validator

from service.office.attachments.bodies import Attached
from service.web.fields import Amount, Code, Day, In, Mark, Out, Paragraph, Utc, Written, refusal
from service.workshop.shelf.rules import MOST_LINES
from service.workshop.stock.bodies import Held, LotKind


class StockTakeIn(In):
    """Which lots are to be counted; where nothing is said, all whose ledger is not at nothing."""

    materials: Annotated[list[Code], Field(min_length=1, max_length=100)] | None = None
    kind: LotKind | None = Field(default=None, description="Of the lots.")
    lots: Annotated[list[Mark], Field(min_length=1, max_length=MOST_LINES)] | None = Field(
        default=None, description="These, whatever their ledger says."
    )
    below_nothing: bool = Field(
        default=False, description="Only lots whose ledger stands below nothing."
    )
    remark: Paragraph | None = None
    by: Code | None = None

    @model_validator(mode="after")
    def _one_way(self) -> "StockTakeIn":
        if self.lots is not None and (self.materials or self.kind or self.below_nothing):
            wrong = "Lots that are named are listed as they are."
            raise refusal("one-of-two", wrong, "Name lots, or say which ones.", below=("lots",))
        return self


class TakeOut(Out):
    take: str
    covers: str = Field(description="Which lots, in words.")
    remark: str | None
    by: str | None
    created_at: Utc
    lines: int
    counted: int = Field(description="How many of its lines were counted.")
    differing: int = Field(description="How many were found to be other than the ledger said.")
    pages: int


class TakeMade(TakeOut, Written):
    pass


class CountOut(Out):
    """What was counted at a line, beside what the ledger then said."""

    entry: int
    counted: Held
    entered: Amount = Field(description="As it was entered.")
    density: Amount | None = Field(description="With which a volume was converted.")
    counted_at: Utc
    about: str | None = Field(description="How far the time may be off (ISO 8601 duration).")
    by: str | None
    page: int
    ledger: Held = Field(description="What the ledger said of that time.")
    difference: Held = Field(description="Counted less ledger; moved as `movement`.")
    movement: str | None
    late: Held | None = Field(
        description="What was entered since for before the count, which the difference does not "
        "know of: correct the line, with the same amount, to have it reckoned in."
    )
    concluded: list[str] = Field(description="Deviations that it explains.")
    remark: str | None
    corrects: int | None
    reason: str | None


class TakeLineOut(Out):
    line: int
    lot: str
    material: str
    name: str
    found: bool = Field(description="It was not on the sheet, and was found.")
    count: CountOut | None = Field(description="Null until it is counted.")


class TakePageOut(Out):
    page: int
    counted_at: Utc
    by: str | None
    entered_at: Utc
    photo: Attached | None


class TakeShown(TakeOut):
    rows: list[TakeLineOut]
    entered: list[TakePageOut] = Field(description="The pages that came back.")


class TakeSheetLine(Out):
    """One lot to be counted. What the ledger says of it is not told, so that it is counted."""

    line: int
    lot: str
    material: str
    name: str
    kind: str
    quality: str
    expires_on: Day | None
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    in_: str = Field(alias="in", description="What it is counted in: g or pcs.")
    counted: Held | None = Field(description="What was counted before, in this stock take.")


class CountsToSend(Out):
    counted_on: Day
    lines: dict[str, None]
    found: list[None]


class TakeSheetOut(Out):
    take: str
    covers: str
    remark: str | None
    sheet: int = Field(description="Number of the page that comes back.")
    lines: list[TakeSheetLine]
    page_to_send: CountsToSend
