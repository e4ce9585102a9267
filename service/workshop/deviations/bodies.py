"""Bodies of the deviations slice."""

from typing import ClassVar

from pydantic import Field

from service.web.corrections import CorrectionIn, ReplacementIn
from service.web.fields import Code, In, Instant, Out, Remark, Utc, Written


class ConclusionIn(In):
    text: Remark = Field(description="What was found, and what was decided.")
    by: Code | None = None
    happened_at: Instant | None = None


class Flag(Out):
    """A fact outside the plan, as shown beside the answer that recorded it."""

    code: str
    text: str
    line: int | None = Field(default=None, description="Line of the sheet, where there is one.")
    opens: str | None = Field(default=None, description="The deviation that was opened.")
    concluded_by: str | None = Field(default=None, description="The call that concludes it.")


class DeviationOut(Out):
    deviation: str
    subject_kind: str
    subject: str
    code: str
    text: str
    open: bool
    by: str | None
    happened_at: Utc
    conclusion: str | None
    concluded_by: str | None
    concluded_at: Utc | None


class Concluded(DeviationOut, Written):
    pass


class ConclusionReplacement(ReplacementIn):
    needed: ClassVar[frozenset[str]] = frozenset({"text"})

    text: Remark | None = None


class ConclusionCorrection(CorrectionIn):
    """Voided, the deviation is open again, and stands against a release until it is concluded."""

    replaces: ConclusionReplacement | None = None


class ConclusionCorrected(DeviationOut, Written):
    entry: int
    corrects: int
    was: str
    void: bool
    reason: str
