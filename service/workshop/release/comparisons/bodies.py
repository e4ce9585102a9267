"""What a comparison of two versions answers; it says what differs, never which is better."""

from typing import Any, Literal

from pydantic import Field

from service.web.fields import Amount, Day, Figure, Out
from service.workshop.panels.bodies.readings import RatingOut, SeenOut
from service.workshop.recipes.bodies import VersionBrief
from service.workshop.recipes.bodies.lines import LineOut
from service.workshop.recipes.bodies.stages import StageOut, StepOut

Status = Literal["same", "changed", "only left", "only right"]


class LotMadeOut(Out):
    lot: str
    kind: Literal["made", "packed"]
    made_on: Day | None


class ComparedVersion(VersionBrief):
    makes: str
    lots: list[LotMadeOut] = Field(
        description="Made by batches of this version, the newest first, and packed from those."
    )
    lots_left_out: bool = Field(description="Whether there are older lots than those looked at.")


class ComparedLine(Out):
    """A material on both sides, or on one; `changed` names what is written otherwise."""

    material: str
    name: str
    status: Status
    changed: list[
        Literal["amount", "basis", "rule", "stage", "tolerance", "condition", "order"]
    ] = Field(description="The share of the whole may differ although nothing is changed here.")
    left: LineOut | None
    right: LineOut | None
    share_difference: Amount | None = Field(description="Right less left, of the whole.")


class ComparedStep(Out):
    do: str
    status: Status
    changed: list[Literal["to", "ramp", "for", "until", "text", "stage", "order"]]
    left: StepOut | None
    right: StepOut | None


class ComparedStage(Out):
    stage: str
    status: Status
    changed: list[Literal["lasts", "losses", "remark", "order"]]
    left: StageOut | None
    right: StageOut | None


class ComparedLoss(Out):
    """What leaves, of all that is charged."""

    stage: str
    cause: str
    left: Amount | None
    right: Amount | None
    difference: Amount | None = Field(description="Right less left.")


class StandsOut(Out):
    """A derived figure, or why there is none."""

    figure: Figure | None
    undecided: list[str] = Field(description="What would have to be known.")
    not_applicable: str | None


class ComparedFigure(Out):
    name: str
    label: str
    left: StandsOut
    right: StandsOut
    difference: Amount | None = Field(
        description="Right less left, where both are numbers in the same unit."
    )
    relative: Amount | None = Field(description="The difference, of the left value.")


class ComparedComponent(Out):
    """A component of what comes out, as its share by mass."""

    component: str
    name: str
    family: str | None
    left: Amount | None
    right: Amount | None
    difference: Amount | None = Field(description="Right less left; none counts as 0.")


class TrialOut(Out):
    reading: str
    on: Day
    saw: list[SeenOut] = Field(description="Empty: nothing was seen.")
    rating: RatingOut | None


class TriedOut(Out):
    """One test on one lot under one condition, over its trials."""

    lot: str
    text: str
    protocol_version: int
    coats: int | None
    age: Amount | None
    trials: int
    readings: list[TrialOut]


class ComparedTest(Out):
    """What was put on, and what was seen of either version; an empty side was not tried."""

    test: str
    protocol: str
    tried: str
    left_trials: int
    right_trials: int
    left: list[TriedOut]
    right: list[TriedOut]


class MeasuredOut(Out):
    """A measured figure of a lot."""

    lot: str
    figure: str
    value: str
    unit: str
    basis: Literal["measured"]
    method: str | None
    temperature: Amount | None
    on: Day | None
    trials: int


class ComparedMeasurement(Out):
    property: str
    label: str
    left: list[MeasuredOut]
    right: list[MeasuredOut]


class ComparisonOut(Out):
    left: ComparedVersion
    right: ComparedVersion
    reckoned: str = Field(description="By what the shares and figures were worked out.")
    lines: list[ComparedLine]
    steps: list[ComparedStep]
    stages: list[ComparedStage]
    losses: list[ComparedLoss]
    figures: list[ComparedFigure]
    composition: list[ComparedComponent] = Field(description="The largest share first.")
    tests: list[ComparedTest]
    measurements: list[ComparedMeasurement]
    notes: dict[str, dict[str, Any]]
