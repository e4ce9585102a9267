"""Stages of the work with what is lost in each, and the steps besides weighing."""

from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from service.science import units
from service.science.formulation import STAGES
from service.web.fields import Amount, In, Line, Out, Temperature, refusal, text
from service.workshop.recipes.bodies.amounts import Duration, Lasting, Ramp, StageLoss
from service.workshop.recipes.rules import MOST_LINES, Cause, Do, Stage
from service.workshop.recipes.written.work_order import loss_problem

StageRemark: Any = text(300, lines=True)


class StageIn(In):
    """One stage of the work, in its place."""

    stage: Stage
    lasts: Lasting | None = Field(default=None, description="How long it usually takes.")
    losses: dict[Cause, StageLoss] = Field(default={}, description="By cause.")
    remark: StageRemark | None = None

    @model_validator(mode="after")
    def _losses_that_can_be(self) -> "StageIn":
        for cause, loss in self.losses.items():
            if wrong := loss_problem(self.stage, cause, units.canonical(loss)):
                hint = "A gain is negative: oxygen anywhere, water in wash or precipitate."
                detail = f"{loss} cannot be right: {wrong}."
                raise refusal("loss-sign", detail, hint, below=("losses", cause))
        return self

    def as_sent(self) -> dict[str, Any]:
        """The stage as a body says it, for a remedy that sends the whole list."""
        told: dict[str, Any] = {"stage": self.stage}
        if self.lasts is not None:
            told["lasts"] = str(self.lasts)
        if self.losses:
            told["losses"] = {cause: str(loss) for cause, loss in self.losses.items()}
        return told if self.remark is None else {**told, "remark": self.remark}


class DeclaredLossOut(Out):
    cause: str
    percent: Amount
    basis: Literal["declared"]


class StageOut(Out):
    stage: str
    lasts: Amount | None
    losses: list[DeclaredLossOut]
    remark: str | None


class StepIn(In):
    """One thing to do besides weighing; exactly one of heat, hold, cool, wait, check, strain and
    note."""

    heat: Temperature | None = Field(default=None, description="Up to this temperature.")
    hold: Duration | None = Field(default=None, description="Keep it there for so long.")
    cool: Temperature | None = Field(default=None, description="Down to this temperature.")
    wait: Lasting | None = Field(default=None, description="Let it stand for so long.")
    check: Line | None = Field(default=None, description="What to look for.")
    strain: Line | None = Field(default=None, description="Through what.")
    note: Line | None = None
    ramp: Ramp | None = Field(default=None, description="How fast it is heated.")
    until: Line | None = Field(default=None, description="The sign to wait for.")
    stage: Stage | None = Field(default=None, description="Where absent: cook; strain: strain.")

    @model_validator(mode="after")
    def _one_thing(self) -> "StepIn":
        if len([name for name in _DOINGS if getattr(self, name) is not None]) != 1:
            raise refusal("one-thing", f"A step does one thing: {', '.join(_DOINGS)}.")
        if self.until is not None and self.do not in _WAIT_FOR_A_SIGN:
            waits = ", ".join(_WAIT_FOR_A_SIGN)
            raise refusal("until-without-cook", f"Only {waits} have a sign to wait for.")
        if self.ramp is not None and self.do != "heat":
            raise refusal("ramp-without-heat", "Only heat goes at a rate.", below=("ramp",))
        return self

    @property
    def do(self) -> Do:
        return next(name for name in _DOINGS if getattr(self, name) is not None)

    @property
    def own_stage(self) -> Stage:
        return self.stage or ("strain" if self.do == "strain" else "cook")


_DOINGS: tuple[Do, ...] = ("heat", "hold", "cool", "wait", "check", "strain", "note")
_WAIT_FOR_A_SIGN: tuple[Do, ...] = ("heat", "hold", "cool", "wait")
Steps = Annotated[list[StepIn], Field(max_length=MOST_LINES)]
Stages = Annotated[list[StageIn], Field(min_length=1, max_length=len(STAGES))]


class StepOut(Out):
    line: int
    do: str
    to: Amount | None
    ramp: Amount | None
    for_: Amount | None = Field(alias="for")
    until: str | None
    text: str | None
    stage: str
