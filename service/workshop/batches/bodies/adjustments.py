"""Bodies of adjustments: the goal, what was read, what was added, and what is proposed."""

from typing import Any

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.science import units
from service.science.cup_equations import cups, viscosity_in_cup
from service.science.errors import ScienceError
from service.science.units import Quantity
from service.web.corrections import CorrectionIn, ReplacementIn
from service.web.fields import (
    Amount,
    Code,
    Figure,
    In,
    Instant,
    Line,
    Mark,
    Out,
    Temperature,
    Utc,
    Written,
    read_quantity,
    refusal,
    refusal_below,
)
from service.workshop.batches.bodies.balance import Grams, Weight
from service.workshop.batches.bodies.entries import WeighingOut, WrittenFigure
from service.workshop.batches.bodies.events import refuse_null
from service.workshop.batches.bodies.plans import Caution
from service.workshop.batches.rules.goals import TIMED, Adjustable, State
from service.workshop.deviations.bodies import Flag
from service.workshop.materials.rules import figure_problem, properties


class ReadIn(In):
    """What the pot read, and what it weighs where that is known."""

    value: Any = Field(description='"75 s", "57.5 %", "0.912 kg/l", "14.1 mg KOH/g"')
    temperature: Temperature | None = Field(default=None, description="At which it was read.")
    mass: Weight | None = Field(
        default=None,
        description="What the pot holds; else what was weighed in since its mass was last known.",
    )

    def read(self, name: str) -> Quantity:
        """The value of a property; raises a payload error."""
        return read_value(self.value, name, "value")


def read_value(value: Any, name: str, field: str) -> Quantity:
    """A value of a property; raises a payload error below the field."""
    known = properties()[name]
    try:
        found = read_quantity(value, known.dimension, None)
    except PydanticCustomError as error:
        raise refusal_below(error, field) from None
    if wrong := figure_problem(known, found):
        raise refusal("out-of-range", wrong, below=(field,))
    return found


class AdjustmentIn(In):
    """A goal for one property of the pot, and the material it is brought there with."""

    property: Adjustable
    target: Any = Field(description='"62 s", "59 %"')
    within: Any = Field(description='How near is near enough: "2 s"')
    material: Code = Field(description="What is added.")
    cup: Mark | None = Field(default=None, description="Of a flow time; readings are of it alone.")
    method: Line | None = Field(
        default=None, description="How it is read. Where absent, of a flow time, the cup."
    )
    reading: ReadIn | None = Field(default=None, description="What the pot reads now.")
    by: Code | None = None
    happened_at: Instant | None = None

    @model_validator(mode="after")
    def _can_be_aimed_at(self) -> "AdjustmentIn":
        check_cup(self.property, self.cup)
        target = read_value(self.target, self.property, "target")
        read_band(self.within, self.property)
        if self.cup is not None:
            check_timed(self.cup, target, "target")
        elif self.method is None:
            wrong = "It is not said how it is read."
            raise refusal("evidence-missing", wrong, 'Send "method".', below=("method",))
        if self.reading is not None:
            try:
                self.reading.read(self.property)
            except PydanticCustomError as error:
                raise refusal_below(error, "reading") from None
        return self


def check_cup(name: str, cup: str | None) -> None:
    """Raises a payload error for a flow time without its cup, and for a cup of anything else."""
    known = ", ".join(cups())
    if (name == TIMED) != (cup is not None):
        wrong = "A flow time needs its cup." if name == TIMED else "Only a flow time has a cup."
        hint = f"Send one of: {known}." if name == TIMED else "Leave it out."
        raise refusal("cup-missing" if name == TIMED else "no-cup", wrong, hint, below=("cup",))
    if cup is not None and cup not in cups():
        wrong = f"{cup!r} is no cup whose equation is known."
        raise refusal("cup-unknown", wrong, f"Send one of: {known}.", below=("cup",))


def check_timed(cup: str, seconds: Quantity, field: str) -> None:
    """Raises a payload error for seconds that the cup does not measure."""
    try:
        viscosity_in_cup(cup, units.canonical(seconds))
    except ScienceError as error:
        detail = f"{error.message[:1].upper()}{error.message[1:]}."
        hint = f"{error.hint[:1].upper()}{error.hint[1:]}."
        raise refusal(error.code, detail, hint, below=(field,)) from None


def read_band(value: Any, name: str) -> Quantity:
    """How near is near enough, more than nothing; raises a payload error."""
    try:
        found = read_quantity(value, properties()[name].dimension, None)
    except PydanticCustomError as error:
        raise refusal_below(error, "within") from None
    if not 0 < units.canonical(found) <= properties()[name].high:
        wrong = f"{found} cannot be how near is near enough."
        raise refusal("out-of-range", wrong, "Send more than 0.", below=("within",))
    return found


class AdjustmentReplacement(ReplacementIn):
    """The goal put right; the property, and with it all readings, stays."""

    target: Any = None
    within: Any = None
    material: Code | None = None
    method: Line | None = None

    @model_validator(mode="after")
    def _whole(self) -> "AdjustmentReplacement":
        refuse_null(self, "target", "within", "material", "method")
        return self


class AdjustmentCorrection(CorrectionIn):
    replaces: AdjustmentReplacement | None = None


class AdjustmentReadingIn(ReadIn):
    """The pot read again: the new start."""

    by: Code | None = None
    happened_at: Instant | None = None


class AdditionIn(In):
    """What went in for the goal; kept as a weighing beside the plan."""

    amount: Grams
    lot: Line | None = Field(default=None, description="Where absent, the only one there is.")
    balance: Code | None = Field(default=None, description="Where absent, the last used.")
    substitute: bool = Field(
        default=False, description="Another material than the goal names, and it really went in."
    )
    by: Code | None = None
    checked_by: Code | None = None
    happened_at: Instant | None = None


class Added(Out):
    entry: int
    material: str
    lot: str
    weighed: Figure
    by: str | None
    happened_at: Utc


class AdjustmentStep(Out):
    """A reading, and what went in after it."""

    step: int
    figure: str = Field(description="The figure of the batch that it is; corrected as one.")
    read: Figure
    temperature: Amount | None
    off: Amount = Field(description="The reading less the goal.")
    closed: Figure | None = Field(
        description="How much of the way to the goal the addition before it went."
    )
    warmth: str | None = Field(
        description="Said where it was read otherwise warm than before, so that the two differ by "
        "that too."
    )
    mass: Figure | None = Field(description="Of the pot when it was read, where that is known.")
    added: list[Added]
    by: str | None
    happened_at: Utc


class LotToAdd(Out):
    lot: str
    left: Amount


class Proposal(Out):
    """What brings the pot to the goal by the sum, and how much of it to add at first."""

    add: Figure = Field(description="By the sum, in all.")
    first_from: Figure = Field(description="60 % of it; add this much, stir, read again.")
    first_to: Figure = Field(description="70 % of it.")
    expect_from: Figure = Field(description="What the pot should then read.")
    expect_to: Figure
    standing: str
    remarks: list[str]
    lots: list[LotToAdd] = Field(description="What may be drawn of it.")
    enough: bool = Field(description="Whether these hold what is to be added at first.")
    cautions: list[Caution]


class Undecided(Out):
    """Why nothing is proposed, and what is needed."""

    text: str
    needs: str | None


class AdjustmentOut(Out):
    batch: str
    adjustment: int
    property: str
    label: str
    target: Figure
    within: Amount
    material: str
    name: str
    cup: str | None
    method: str
    state: State
    steps: list[AdjustmentStep]
    added: Figure = Field(description="All that went in for it.")
    proposal: Proposal | None
    undecided: Undecided | None
    by: str | None
    opened_at: Utc = Field(description="When the goal was set.")
    void: bool
    reason: str | None = Field(description="Why the goal was corrected.")
    notes: dict[str, dict[str, Any]]


class AdjustmentMade(AdjustmentOut, Written):
    figures: list[WrittenFigure]
    flags: list[Flag]


class AdditionMade(Written):
    weighing: WeighingOut
    adjustment: AdjustmentOut
    figures: list[WrittenFigure]
    flags: list[Flag]
