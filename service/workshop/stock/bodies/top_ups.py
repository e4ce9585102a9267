"""Top-ups: a lot made by pouring others onto what was left of one."""

from typing import Any, Literal

from pydantic import ConfigDict, Field

from service.web.corrections import CorrectionIn, ReplacementIn, Traced
from service.web.fields import Amount, Code, Day, In, Instant, Mark, Out, Utc, Written
from service.workshop.deviations.bodies import Flag
from service.workshop.materials.bodies import NamedFigure
from service.workshop.stock.bodies.amounts import Held, StockAmount

What = Literal["stock", "kettle-heel", "strainer-rinse"]
_WHAT = "From the shelf, left in the kettle, or what rinsed a strainer or a cloth."
_ON_LEDGER = (
    "false: it was counted as a loss when its batch was weighed, as a kettle heel often is, and "
    "is booked back to its lot before it is poured."
)


class PartIn(In):
    """One lot that was poured on."""

    lot: Mark
    amount: StockAmount
    what: What = Field(default="stock", description=_WHAT)
    on_ledger: bool = Field(default=True, description=_ON_LEDGER)


class TopUpIn(In):
    """What was poured onto a lot; together they are a lot of its own."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    with_: list[PartIn] = Field(alias="with", min_length=1, max_length=20)
    heel: StockAmount | None = Field(
        default=None, description="How much of the lot was there; where absent, all that is left."
    )
    heel_what: What = Field(default="stock", description=_WHAT)
    heel_on_ledger: bool = Field(default=True, description=_ON_LEDGER)
    material: Code | None = Field(
        default=None, description="What the mixture is; needed where not all is one material."
    )
    lot: Code | None = Field(default=None, description="Your own number; where absent, the next.")
    poured: bool = Field(
        default=False,
        description="true: it happened, so it is kept and flagged. false: a plan; lots that are "
        "rejected or expired, and more than is left, are refused.",
    )
    expires_on: Day | None = Field(
        default=None, description="Where absent, the earliest of its lots; never later."
    )
    retest_on: Day | None = Field(
        default=None, description="Where absent, the earliest of its lots; never later."
    )
    by: Code | None = None
    happened_at: Instant | None = None


class TopUpValues(ReplacementIn):
    """What really was poured together; what is absent stays."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    heel: StockAmount | None = None
    with_: list[PartIn] | None = Field(default=None, alias="with", min_length=1, max_length=20)


class TopUpCorrection(CorrectionIn):
    replaces: TopUpValues | None = None


class PartOut(Out):
    lot: str
    material: str
    quality: str
    what: What
    on_ledger: bool
    amount: Held
    share: str = Field(description="Exact, of the whole: 2/7.", examples=["2/7"])
    percent: Amount = Field(description="The share, rounded to four decimals.")
    movement: str = Field(description="The line of the ledger that took it out.")


class NotCarried(Out):
    """A property that was known of a part and is not known of the mixture."""

    property: str
    label: str
    why: str
    instead: str = Field(description="How it becomes known.")


class TopUpOut(Traced):
    entry: int
    lot: str
    material: str
    heel: str
    amount: Held
    parts: list[PartOut] = Field(description="The heel first.")
    quality: str
    made_on: Day | None
    expires_on: Day | None
    retest_on: Day | None
    ready_on: Day | None
    figures: list[NamedFigure] = Field(description="Worked out from those of its parts.")
    by: str | None
    happened_at: Utc
    entered_at: Utc
    notes: dict[str, dict[str, Any]]


class TopUpMade(TopUpOut, Written):
    left: Held
    not_carried: list[NotCarried] = Field(
        description="Known of a part, not of the mixture: no rule gives it, or a part lacks it."
    )
    flags: list[Flag]
