"""Bodies of versions: what is sent for a draft, and what is shown of it."""

from typing import Annotated, Any

from pydantic import Field

from service.office.attachments.bodies import Attached, AttachmentName
from service.web.fields import Amount, Code, In, Out, Paragraph, Remark, Utc, Written, text
from service.workshop.materials.bodies import NamedFigure
from service.workshop.recipes.bodies.amounts import Loss
from service.workshop.recipes.bodies.contents import LeftOut, PortionOut
from service.workshop.recipes.bodies.evidence import LabourIn, LabourOut, Proved, ProvedOut
from service.workshop.recipes.bodies.lines import LineOut, Lines
from service.workshop.recipes.bodies.stages import StageOut, Stages, StepOut, Steps

Number = Annotated[int, Field(ge=1, le=100000)]
Page: Any = text(8000, lines=True)


class VersionIn(In):
    lines: Lines
    steps: Steps = []
    stages: Stages | None = Field(
        default=None, description="In the order of the work; where absent, those used, as usual."
    )
    loss_cook: Loss | None = Field(default=None, description="Short for fumes lost in the cook.")
    loss_strain: Loss | None = Field(default=None, description="Short for lost in straining.")
    why: Paragraph | None = Field(
        default=None, description="What is changed and why; a later version needs it."
    )
    came_from: Number | None = Field(
        default=None, description="The version it was made from; where absent, the newest."
    )
    as_written: Page | None = Field(default=None, description="An old recipe, word for word.")
    reconstructed: bool | None = Field(
        default=None, description="Where absent: whether it has `as_written`."
    )
    labour: LabourIn | None = None
    proved: Proved = []
    photo: AttachmentName | None = Field(
        default=None, description="Of the page or the kettle; sent before, after or never."
    )
    remark: Remark | None = None
    by: Code | None = None


class ApprovalIn(In):
    version: Number | None = Field(default=None, description="Where absent, the newest draft.")
    by: Code | None = None


class RetirementIn(In):
    version: Number
    reason: Paragraph
    by: Code | None = None


class VersionBrief(Out):
    recipe: str
    version: int
    state: str
    remark: str | None
    why: str | None
    came_from: int | None
    reconstructed: bool
    created_by: str | None
    created_at: Utc
    approved_by: str | None
    approved_at: Utc | None
    retired_by: str | None
    retired_at: Utc | None
    retired_for: str | None


class Undecided(Out):
    """A figure that cannot be worked out yet, and what it still needs."""

    name: str
    label: str
    missing: list[str]


class NotApplicableOut(Out):
    """A figure that this recipe does not have, and why."""

    name: str
    label: str
    reason: str


class Frozen(Out):
    """Where the frozen form of a document is."""

    kind: str
    subject: str
    revision: int
    sha256: str


class Recalculated(Out):
    """A derived figure that comes out differently with what is known today."""

    name: str
    label: str
    was: Amount | None = Field(description="Null where it was undecided.")
    now: Amount | None = Field(description="Null where it is undecided today.")


class Recalculation(Out):
    on: str = Field(description="The day in the workshop.")
    figures: list[Recalculated]


class VersionOut(VersionBrief):
    lines: list[LineOut]
    steps: list[StepOut]
    stages: list[StageOut]
    loss_cook: Amount | None = Field(description="All that the cook is declared to lose.")
    loss_strain: Amount | None = Field(description="All that straining is declared to lose.")
    as_written: str | None
    photo: Attached | None
    labour: LabourOut | None
    proved: list[ProvedOut]
    losses: list[LeftOut] = Field(description="In the order of the work, by chemistry too.")
    composition: list[PortionOut] = Field(description="The largest first.")
    remarks: list[str] = Field(description="What to look out for in this plan, by line or stage.")
    figures: list[NamedFigure]
    undecided: list[Undecided]
    not_applicable: list[NotApplicableOut]
    document: Frozen | None = Field(description="The frozen form, once it is approved.")
    recalculated: Recalculation | None = Field(
        description="What of a frozen version comes out differently today; null where nothing does."
    )
    notes: dict[str, dict[str, Any]]


class VersionMade(VersionOut, Written):
    pass
