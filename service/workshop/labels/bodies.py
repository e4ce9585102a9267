"""Bodies of the labels slice."""

from typing import Annotated, Any, ClassVar

from pydantic import Field

from service.office.workshop_card.bodies import Language, Market
from service.web.corrections import CorrectionIn, ReplacementIn, Traced
from service.web.fields import Code, In, Instant, Out, Utc, Written
from service.workshop.deviations.bodies import Flag

Count = Annotated[int, Field(ge=0, le=100_000)]
Revision = Annotated[int, Field(ge=1, le=100_000)]


class LabelGap(Out):
    """An element that the label still lacks; nothing is invented in its place."""

    element: str
    detail: str
    concluded_by: str = Field(description="The call that supplies it.")


class PrintOut(Out):
    """What goes on the jar."""

    name: str | None
    contains: str | None = Field(description="Null where the product discloses nothing.")
    signal: str | None = Field(description="Always null: hazard classes are not assessed.")
    pictograms: list[str]
    hazard: list[tuple[str, str]]
    supplemental: list[tuple[str, str]]
    precaution: list[tuple[str, str]]
    net: str
    lot: str
    made_on: str | None
    best_before: str | None
    after_opening: str | None
    ufi: str | None
    voc: str | None
    directions: str | None
    supplier: list[str]
    qr: str | None


class SmallestOut(Out):
    """What a pack of this size needs at least."""

    label: str
    pictogram: str
    letters: str


class LabelOut(Out):
    """A draft, or a frozen revision, of what stands on the jar."""

    lot: str
    pack: str
    market: Market
    language: str
    draft: bool
    revision: int | None
    sha256: str | None = Field(description="Of the frozen bytes; null for a draft.")
    frozen: list[int] = Field(description="All frozen revisions of this lot.")
    differs_from_frozen: list[str] = Field(
        description="Elements in which the newest frozen revision for this market and language "
        "differs from the draft."
    )
    undecided: list[LabelGap]
    print: PrintOut
    smallest: SmallestOut
    why: dict[str, dict[str, Any]] = Field(
        description="The trace. `hazard_classes` says `not_assessed`: this service works out no "
        "class; a competent person does."
    )
    notes: dict[str, dict[str, Any]]
    aid: str
    checked: None


class LabelMade(LabelOut, Written):
    pass


class LabelIn(In):
    market: Market | None = Field(
        default=None, description="Where absent, the product's or the workshop's first."
    )
    language: Language | None = Field(default=None, description="Where absent, the workshop's.")
    by: Code | None = None


class LabellingIn(In):
    """The count of one print run."""

    printed: Count
    used: Count = Field(description="On the jars.")
    spoiled: Count
    revision: Revision | None = Field(default=None, description="Where absent, the newest.")
    label_lot: Code | None = Field(
        default=None, description="Lot of blank labels; where absent, the pack's only open one."
    )
    by: Code | None = None
    happened_at: Instant | None = None


class LabellingOut(Traced):
    entry: int
    lot: str
    revision: int
    printed: int
    used: int
    spoiled: int
    label_lot: str | None
    by: str | None
    happened_at: Utc
    entered_at: Utc


class LabellingMade(LabellingOut, Written):
    flags: list[Flag]


class LabellingReplacement(ReplacementIn):
    needed: ClassVar[frozenset[str]] = frozenset({"printed", "used", "spoiled", "revision"})

    printed: Count | None = None
    used: Count | None = None
    spoiled: Count | None = None
    revision: Revision | None = None
    label_lot: Code | None = Field(default=None, description="Null where none was drawn from.")


class LabellingCorrection(CorrectionIn):
    replaces: LabellingReplacement | None = None
