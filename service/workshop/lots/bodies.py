"""Bodies of the filling slice."""

from typing import Any, ClassVar

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.web.corrections import CorrectionIn, ReplacementIn
from service.web.fields import (
    Amount,
    Code,
    Day,
    Figure,
    In,
    Line,
    Mass,
    Out,
    Utc,
    Written,
    number,
    refusal,
    refusal_below,
    text,
)
from service.workshop.deviations.bodies import Flag
from service.workshop.materials.bodies import FigureValue

MOST_PACKS = 10_000
Grams: Any = number("0.001", "1000000")
PackName: Any = text(20)


def check_density(sent: FigureValue | None) -> None:
    """Raises a payload error for what is no density."""
    if sent is not None:
        try:
            sent.read("density")
        except PydanticCustomError as error:
            raise refusal_below(error, "density") from None


class FillIn(In):
    """One filling of a bulk lot into packs of one size, every pack weighed."""

    pack: PackName = Field(description="The product's name of the pack: 250ML")
    product: Code | None = Field(default=None, description="Where absent, the only one.")
    count: int | None = Field(
        default=None, ge=1, le=MOST_PACKS, description="Where absent, as many as were weighed."
    )
    gross_g: list[Grams] = Field(
        default=[], max_length=1000, description="What each full pack weighed, in grams."
    )
    tare: Mass | None = Field(default=None, description="Where absent, the container's.")
    density: FigureValue | None = Field(
        default=None, description="Where the lot has none yet; kept as the lot's figure."
    )
    container_lot: Code | None = Field(default=None, description="Where absent, the only open one.")
    closure_lot: Code | None = Field(default=None, description="Where absent, the only open one.")
    override_reason: Line | None = Field(
        default=None, description="Why more is taken than the ledger has; needs scope release."
    )
    on: Day | None = None
    by: Code | None = None

    @model_validator(mode="before")
    @classmethod
    def _not_weighed(cls, sent: Any) -> Any:
        """Null weights are no weights, as a form that was not filled in sends them."""
        if isinstance(sent, dict) and sent.get("gross_g", ...) is None:
            return {name: value for name, value in sent.items() if name != "gross_g"}
        return sent

    @model_validator(mode="after")
    def _counted(self) -> "FillIn":
        if self.count is None and not self.gross_g:
            hint = 'Send "gross_g", what each weighed, or "count".'
            raise refusal("count-missing", "How many packs were filled is not said.", hint)
        if self.count is not None and len(self.gross_g) > self.count:
            wrong = f"{len(self.gross_g)} weights were sent for {self.count} packs."
            raise refusal("more-weights-than-packs", wrong, below=("gross_g",))
        check_density(self.density)
        return self

    @property
    def packs(self) -> int:
        return self.count or len(self.gross_g)


class CheckOut(Out):
    verdict: str = Field(description="pass, fail or not-checked")
    why: str
    rule: str
    weighed: int
    mean: Figure | None
    tolerable_negative_error: Amount | None
    first_limit: Amount | None
    second_limit: Amount | None
    below_first: int | None
    below_second: int | None


class WeightOut(Out):
    position: int
    gross: Amount
    net: Amount


class FillOut(Out):
    lot: str
    bulk: str
    product: str | None
    pack: str
    container: str | None
    container_lot: str
    closure_lot: str | None
    count: int
    net: Amount | None = Field(description="What each pack holds, nominally.")
    tare: Amount | None
    density: Figure
    nominal_mass: Figure
    filled: Amount | None = Field(description="What left the bulk lot.")
    check: CheckOut
    quality: str
    made_on: Day | None
    filled_on: Day
    expires_on: Day | None
    by: str | None
    happened_at: Utc
    weights: list[WeightOut] | None = Field(description="Of the packed lot itself, not of lists.")
    notes: dict[str, dict[str, Any]]


class FillMade(FillOut, Written):
    flags: list[Flag]
    left: Amount | None = Field(description="What is left of the bulk lot.")


class LotFills(Out):
    """The fills of a bulk lot, or the one a packed lot came from."""

    lot: str
    kind: str
    fills: list[FillOut]


class FillReplacement(ReplacementIn):
    """What the fill really was. The density is that of the bulk lot as it stands now, unless one
    is sent."""

    needed: ClassVar[frozenset[str]] = frozenset({"count", "container_lot", "on"})

    count: int | None = Field(default=None, ge=1, le=MOST_PACKS)
    gross_g: list[Grams] | None = Field(
        default=None, max_length=1000, description="Of all packs that were weighed."
    )
    tare: Mass | None = Field(default=None, description="Null: the container's.")
    density: FigureValue | None = Field(default=None, description="Kept as the lot's figure.")
    container_lot: Code | None = None
    closure_lot: Code | None = None
    on: Day | None = None

    @model_validator(mode="after")
    def _dense(self) -> "FillReplacement":
        check_density(self.density)
        return self


class FillCorrection(CorrectionIn):
    replaces: FillReplacement | None = None


class FillCorrected(FillOut, Written):
    entry: int
    corrects: int
    void: bool
    reason: str
    flags: list[Flag]
    left: Amount | None = Field(description="What is left of the bulk lot.")
