"""Movements of the ledger and their corrections."""

from typing import Literal

from pydantic import Field, field_validator, model_validator

from service.web.fields import Amount, Code, In, Instant, Line, Mark, Out, Utc, Written, refusal
from service.workshop.deviations.bodies import Flag
from service.workshop.stock.bodies.amounts import Held, Price, SignedAmount, cents

Cause = Literal[
    "receipt",
    "weighing",
    "yield",
    "fill",
    "scrap",
    "stock-take",
    "sample",
    "dispatch",
    "return",
    "adjustment",
    "top-up",
    "cleaning",
    "labelling",
    "correction",
    "skin",
    "recovered",
]


class MovementIn(In):
    """Stock that moved for no other entry's sake."""

    lot: Mark
    cause: Literal["scrap", "cleaning", "adjustment"]
    amount: SignedAmount = Field(
        description="What went, for scrap and cleaning; for an adjustment the difference with its "
        'sign: "-20 g" off, "+20 g" on.'
    )
    reason: Line | None = Field(default=None, description="Needed but for cleaning.")
    by: Code | None = None
    happened_at: Instant | None = None
    override_reason: Line | None = Field(
        default=None, description="Lets an adjustment go below zero; needs the scope release."
    )

    @model_validator(mode="after")
    def _reasoned(self) -> "MovementIn":
        if self.reason is None and self.cause != "cleaning":
            raise refusal("reason-missing", f"A movement for {self.cause} needs its reason.")
        if self.override_reason is not None and self.cause != "adjustment":
            wrong = f"What was lost by {self.cause} is never refused, so nothing is overridden."
            raise refusal("not-overridden", wrong, "Leave override_reason out.")
        return self


class MovementOut(Out):
    movement: str
    lot: str
    material: str
    amount: Held = Field(description="Below zero: went out.")
    cause: str
    cause_ref: str | None
    entered: Amount | None = Field(description="As it was entered.")
    density: Amount | None = Field(description="With which a volume was converted.")
    override_reason: str | None
    by: str | None
    happened_at: Utc
    about: str | None = Field(description="How far the time may be off (ISO 8601 duration).")
    entered_at: Utc
    corrects: str | None
    corrected_by: str | None
    void: bool
    reason: str | None


class MovementMade(MovementOut, Written):
    left: Held
    flags: list[Flag]


class MovementValues(In):
    """What replaces a movement's values; what is absent stays."""

    amount: SignedAmount | None = None
    price: Price | None = Field(default=None, description="Of a receipt only.")

    _money = field_validator("price")(cents)

    @model_validator(mode="after")
    def _something(self) -> "MovementValues":
        if self.amount is None and self.price is None:
            raise refusal("nothing-replaced", "Nothing is replaced.", "Send amount or price.")
        return self


class MovementCorrection(In):
    """Either values that replace the entry's, or `void`; always with the reason."""

    replaces: MovementValues | None = None
    void: bool = False
    reason: Line
    by: Code | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> "MovementCorrection":
        if self.void == (self.replaces is not None):
            raise refusal("one-of-two", "A correction replaces or voids: send one of the two.")
        return self
