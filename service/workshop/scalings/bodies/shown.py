"""What a scaling answers."""

from typing import Any

from pydantic import ConfigDict, Field

from service.web.fields import Amount, Figure, Out, Written
from service.workshop.materials.bodies import NamedFigure
from service.workshop.recipes.bodies import NotApplicableOut, Undecided


class Makes(Out):
    mass: Figure
    volume: Figure | None = Field(description="Null where no density is known.")


class Take(Out):
    lot: str
    take: Amount


class OtherLot(Out):
    """A lot that could feed a line as well."""

    lot: str
    left: Amount
    expires_on: str | None


class TargetOut(Out):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    line: int
    material: str
    target: Figure | None = Field(description="Null for what is added as it needs.")
    exact: str | None = Field(description="In g, before it was rounded to what the balance reads.")
    how: str = Field(description="What the mass follows from.")
    tolerance: Amount | None = Field(description="The line's own, where the recipe states one.")
    condition: str | None
    from_: list[Take] = Field(alias="from", description="Earliest expiry first, then the oldest.")
    others: list[OtherLot] = Field(description="Open lots that are not taken, in the same order.")
    short: Amount | None = Field(description="What no open lot holds.")
    stage: str


class Compared(Out):
    exact: str
    rounded: str


class Rounding(Out):
    to: str
    total: Figure = Field(description="All lines as rounded, less all lines as they were exactly.")
    oil_to_resin: Compared | None


class CostFigure(NamedFigure):
    at_least: bool = Field(description="Whether something has no price, which the note names.")


class Shopping(Out):
    material: str
    amount: Amount | int
    made_by: str | None = Field(description="The recipe, where it is made and not bought.")


class ToWeigh(Out):
    material: str
    amount: Amount


class ToMake(Out):
    """An intermediate that is short and has a recipe, with what it takes."""

    material: str
    recipe: str
    version: int
    amount: Amount
    for_: str = Field(alias="for", description="What it goes into.")
    level: int = Field(description="1 for what a line needs, 2 for what that needs, and so on.")
    lines: list[ToWeigh]
    loss: str | None = Field(default=None, description="By which loss its lines are reckoned.")

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)


class LossOut(Out):
    stage: str
    what: str
    mass: Figure


class CautionOut(Out):
    stage: str
    line: int | None
    text: str
    rule: str
    danger: int = Field(description="1 is the most dangerous case.")
    why: str = Field(description="Which fact of the plan called for it.")
    shown: bool = Field(description="Whether it stands before the work; the others are folded.")
    note: str | None


class FillOut(Out):
    """How full the kettle stands at its fullest; null where a figure is not known."""

    equipment: str
    holds: Amount
    cold: Figure | None
    hot: Figure | None
    at_most: Figure
    stage: str
    hot_stage: str | None = Field(default=None, description="Where the hot figure is reached.")
    missing: list[str] = Field(description="What would be needed for a null.")


class HeatOut(Out):
    """What it takes to bring the charge to the heat of a step."""

    line: int
    to: Amount
    energy: Figure | None
    time: Figure | None
    missing: list[str]


class FlagOut(Out):
    """Something to look at before the work, which refuses nothing."""

    code: str
    line: int | None
    text: str


class LimitOut(Out):
    """The ingredient that lets no more be made."""

    material: str
    left: Amount


class ScalingOut(Out):
    scaling: str
    recipe: str
    version: int
    draft: bool = Field(description="Of a draft: to look at, never to make a batch from.")
    asked: dict[str, Any]
    assumed: dict[str, Any]
    makes: Makes
    limited_by: LimitOut | None = Field(description="Of `stock`: the ingredient that limits.")
    lines: list[TargetOut]
    losses: list[LossOut] = Field(description="What leaves at each stage; what comes is negative.")
    rounding: Rounding
    figures: list[CostFigure | NamedFigure]
    undecided: list[Undecided]
    not_applicable: list[NotApplicableOut]
    to_make: list[ToMake]
    shopping: list[Shopping]
    cautions: list[CautionOut] = Field(description="By stage, the most dangerous first.")
    flags: list[FlagOut]
    kettle: str | None
    fill: FillOut | None
    heat: list[HeatOut]
    balance: str | None
    loss_cook: str
    loss_strain: str
    bench: str | None = Field(description="The scaling that this one follows at the bench.")
    sent: dict[str, Any] = Field(
        description="What was sent beside what is asked; it holds for a scaling that follows this."
    )
    notes: dict[str, dict[str, Any]]


class ScalingMade(ScalingOut, Written):
    pass
