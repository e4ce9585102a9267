"""Bodies of bench mode: open lines that follow what was weighed."""

from typing import Literal

from pydantic import Field

from service.web.corrections import Traced
from service.web.fields import Code, Figure, In, Line, Out, Utc, Written

_MODE = "From now on after each weighing (true), or no longer (false); where absent, as it was."


class RetargetIn(In):
    """What was weighed so far is what the open lines are worked out from."""

    bench_mode: bool | None = Field(default=None, description=_MODE)
    by: Code | None = None


class RetargetCorrectionIn(In):
    """A working out is not changed but voided: the lines are aimed at what they were before."""

    void: Literal[True]
    reason: Line
    by: Code | None = None


class OpenLine(Out):
    """A line still to be weighed that is no longer aimed at what was planned."""

    line: int
    material: str | None
    planned: Figure | None
    target: Figure | None


class LineTarget(OpenLine):
    was: Figure | None = Field(description="What it was aimed at before.")


class RetargetOut(Traced):
    entry: int
    batch: str
    scaling: str = Field(description="What it was worked out as, frozen.")
    weighed: list[str] = Field(description="The lines that the others follow.")
    by: str | None
    happened_at: Utc


class RetargetMade(RetargetOut, Written):
    bench_mode: bool
    lines: list[LineTarget] = Field(description="Those whose target changed by it.")
