"""Bodies of the release slice."""

from typing import Annotated

from pydantic import Field

from service.web.fields import Code, Day, In, Line, Out, Paragraph, Utc, Written

Revision = Annotated[int, Field(ge=1, le=100_000)]


class ReleaseIn(In):
    with_bulk: bool = Field(
        default=False, description="Whether the bulk lot is released in the same act."
    )
    label: Revision | None = Field(
        default=None,
        description="On the jar; where absent, the last one counted as used, else the newest.",
    )
    condition: Line | None = Field(default=None, description="Under which it is released.")
    retest_on: Day | None = Field(
        default=None, description="When it is to be looked at again; where absent, as it stands."
    )
    waiver: Paragraph | None = Field(
        default=None, description="Why it goes although the label draft now differs."
    )
    by: Code | None = Field(default=None, description="Where absent, the key's person.")


class RejectionIn(In):
    reason: Paragraph
    by: Code | None = Field(default=None, description="Where absent, the key's person.")


class ObstacleOut(Out):
    """One thing that stands against a release."""

    code: str
    detail: str
    concluded_by: str | None = Field(description="The call that concludes it, if any does.")


class ReadinessOut(Out):
    lot: str
    quality: str
    ready: bool
    stands_against: list[ObstacleOut] = Field(
        description="Hazard classes that are not assessed never stand here."
    )


class ActOut(Out):
    act: str
    lot: str
    what: str
    quality: str
    condition: str | None
    waiver: str | None
    retest_on: Day | None
    reason: str | None
    label: int | None
    sheet: str | None = Field(description="Path of the public page.")
    sheet_revision: int | None
    by: str | None
    happened_at: Utc


class ActMade(ActOut, Written):
    pass
