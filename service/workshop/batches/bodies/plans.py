"""Bodies of plans: a batch, its sheet, its mass balance."""

from typing import Annotated, Any

from pydantic import ConfigDict, Field, model_validator

from service.web.fields import Amount, Code, Day, Figure, In, Line, Out, Utc, Written, refusal
from service.workshop.batches.bodies.stages import BalanceOut
from service.workshop.deviations.bodies import Flag
from service.workshop.recipes.bodies import MOST_LINES, Loss
from service.workshop.scalings.bodies import (
    Asked,
    BenchIn,
    ChosenIn,
    Density,
    MeasuredIn,
    Overage,
)


class BatchIn(In):
    """A recipe with what is wanted of it, or a scaling that was frozen before."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    recipe: Code | None = None
    for_: Asked | None = Field(default=None, alias="for")
    scaling: Code | None = Field(default=None, examples=["SC-26-031"])
    version: Annotated[int, Field(ge=1, le=100000)] | None = Field(
        default=None, description="Where absent, the newest approved one."
    )
    density: Density | None = None
    balance: Code | None = None
    kettle: Code | None = None
    loss_cook: Loss | None = None
    loss_strain: Loss | None = None
    overage: Overage | None = None
    choose: Annotated[dict[Code, ChosenIn], Field(max_length=MOST_LINES)] = Field(
        default={}, description="By material: which lot feeds it, or which version makes it."
    )
    measured: list[MeasuredIn] = Field(default=[], max_length=20)
    bench: BenchIn | None = Field(
        default=None, description="In place of `for`: all other lines follow what was weighed."
    )
    override_reason: Line | None = Field(
        default=None,
        description="Why it is planned from a lot that is not open, or with less than it needs; "
        "needs the scope release.",
    )
    on: Day | None = Field(default=None, description="The day it is planned for; else today.")
    bench_mode: bool = Field(
        default=False, description="Lines still open follow what was weighed, as resin falls."
    )
    by: Code | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> "BatchIn":
        if self.scaling is not None:
            given = self.model_fields_set & _ASKING
            # What is sent as null or empty, as a form sends it, asks nothing.
            extra = sorted(name for name in given if getattr(self, name) not in (None, {}, []))
            if extra:
                sent = "for" if "for_" in extra else extra[0]
                wrong = "A scaling already says what is wanted."
                raise refusal("one-of-two", wrong, "Leave it out.", below=(sent,))
        elif self.recipe is None or (self.for_ is None and self.bench is None):
            hint = 'Send "recipe" and "for", or "scaling".'
            raise refusal("one-of-two", "It is not said what is to be made.", hint)
        return self


# Of a frozen scaling nothing is asked again.
_ASKING = {
    "for_",
    "version",
    "density",
    "balance",
    "loss_cook",
    "loss_strain",
    "overage",
    "choose",
    "measured",
    "bench",
}


class BatchOut(Out):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    batch: str
    recipe: str
    version: int
    material: str
    product: str | None
    scaling: str
    for_: str = Field(alias="for", description="What was wanted, in words.")
    state: str
    bench_mode: bool = Field(description="Lines still open follow what was weighed.")
    kettle: str | None
    target: Figure = Field(description="What should come out.")
    yield_: Figure | None = Field(alias="yield")
    lot: str | None = Field(description="The lot it made, once it is complete.")
    planned_on: Day
    override_reason: str | None = Field(description="Why it was planned with what was not there.")
    started_at: Utc | None
    ended_at: Utc | None
    created_at: Utc
    open_deviations: list[str]


class BatchMade(BatchOut, Written):
    cautions: list["Caution"]
    undecided: list[str] = Field(description="What could not be planned, and what it needs.")
    flags: list[Flag] = Field(description="What was overridden, and what is still to be made.")


class Caution(Out):
    text: str
    rule: str
    why: str | None = Field(default=None, description="Which fact of the plan called for it.")


class SheetLine(Out):
    """One numbered line; which names it has follows from `do`."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    line: int
    do: str
    what: str | None = Field(default=None, description="A material's code.")
    name: str | None = None
    target: Figure | None = Field(default=None, description="Absent: as much as it needs.")
    condition: str | None = Field(default=None, description="How, when or how far it goes in.")
    planned: Figure | None = Field(default=None, description="The plan, where no longer aimed at.")
    allow: Amount | None = Field(default=None, description="How far off is within; see tolerance.")
    lots: list[str] | None = None
    on: str | None = Field(default=None, description="The balance.")
    to: Figure | None = None
    ramp: Figure | None = Field(default=None, description="How fast it is heated.")
    for_: Figure | None = Field(default=None, alias="for")
    until: str | None = None
    text: str | None = None
    undecided: str | None = Field(default=None, description="What the number still needs.")


class SheetStage(Out):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    stage: str
    for_: Figure | None = Field(default=None, alias="for", description="How long it usually takes.")
    remark: str | None = None
    cautions: list[Caution] = Field(description="The first ones; `folded` more stand beside.")
    folded: int
    folded_cautions: list[Caution] | None = None
    lines: list[SheetLine]


class Fullest(Figure):
    at: str = Field(description="The line after which it stands so high.")


class SheetKettle(Out):
    equipment: str
    holds: str | None
    fullest: Fullest | None = Field(description="Of the kettle, all charged and cold.")


class PageToSend(Out):
    lines: dict[str, None]
    notes: dict[str, str]


class SheetOut(Out):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    batch: str
    recipe: str
    version: int
    title: str
    for_: str = Field(alias="for")
    state: str
    sheet: int = Field(description="Number of the page that comes back.")
    kettle: SheetKettle | None
    tolerance: str = Field(description="The rule by which `allow` is worked out.")
    steps: list[SheetStage]
    notes: dict[str, dict[str, Any]]
    page_to_send: PageToSend


class BalanceLine(Out):
    line: int
    material: str
    charged: Figure
    target: Figure | None
    lots: list[str]


class PlannedLoss(Out):
    stage: str
    what: str
    mass: Figure = Field(description="What comes instead of leaving is negative.")


class StageTaken(Out):
    stage: str
    number: int
    part: str
    mass: Figure
    goes: str
    lot: str | None


class Cost(Out):
    """In the workshop's currency; `at_least` where lots without a price are among them."""

    value: str
    unit: str | None
    at_least: bool
    lines_without_price: int


class MassBalanceOut(Out):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    batch: str
    state: str
    lines: list[BalanceLine]
    charged: Figure
    yield_: Figure | None = Field(alias="yield")
    theory: Figure
    difference: Figure | None = Field(description="Charged less yield.")
    loss: Figure | None = Field(description="The difference, of what was charged.")
    of_theory: Figure | None
    taken_out: list[StageTaken] = Field(description="What stages gave besides, as it was weighed.")
    closing: BalanceOut | None = Field(description="Whether all of it is accounted for.")
    planned_losses: dict[str, str]
    leaving: list[PlannedLoss] = Field(description="What was planned to leave at each stage.")
    cost: Cost | None = Field(description="Only for who may see costs.")
    notes: dict[str, dict[str, Any]]
