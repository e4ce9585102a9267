"""Bodies of rating scales and protocols."""

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema, model_validator

from service.science import units
from service.science.rounding import plain
from service.science.units import Quantity
from service.web.fields import (
    Amount,
    Code,
    In,
    Line,
    Out,
    Paragraph,
    Short,
    Temperature,
    Utc,
    Written,
    amount,
    refusal,
    text,
)

Mode = Literal["rub", "spot-open", "spot-covered", "immersion", "pad", "scrape", "knock"]
_NEEDS_CONTACT = frozenset({"spot-open", "spot-covered", "immersion", "pad"})
_LONGEST = 12
Twelve: Any = text(_LONGEST)


def _rating(value: Any) -> Any:
    """A rating as text: scales have 0 to 5 as well as 5B and 9H."""
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return value
    if not -_LONGEST <= Decimal(value).adjusted() <= _LONGEST:
        raise refusal("out-of-range", "No scale has such a value.")
    return plain(Decimal(value))


Rating = Annotated[
    Twelve,
    BeforeValidator(_rating),
    WithJsonSchema({"anyOf": [{"type": "string", "maxLength": 12}, {"type": "number"}]}),
]


def _whole_seconds(value: Quantity) -> Quantity:
    seconds = units.canonical(value)
    if seconds != seconds.to_integral_value():
        raise refusal("out-of-range", f"{value} is no whole number of seconds.")
    return value


_Time: Any = amount("time", low="0", high="63072000")  # two years: longer than any weathering here
Contact: Any = Annotated[_Time, AfterValidator(_whole_seconds)]


class ScaleValueIn(In):
    value: Rating
    rank: int = Field(ge=1, le=50, description="1 is the best.")
    text: Line


class RatingScaleIn(In):
    """A named scale. Scales run both ways, so the direction is stated, not guessed."""

    code: Code
    name: Short
    best: Rating
    worst: Rating
    values: list[ScaleValueIn] = Field(min_length=2, max_length=50)
    source: Line | None = None

    @model_validator(mode="after")
    def _in_order(self) -> "RatingScaleIn":
        ranked = sorted(self.values, key=lambda value: value.rank)
        if [value.rank for value in ranked] != list(range(1, len(ranked) + 1)):
            raise refusal(
                "ranks-broken", "The ranks must be 1, 2, 3 … without a gap.", below=("values",)
            )
        if len({value.value for value in ranked}) < len(ranked):
            raise refusal("value-twice", "A value stands twice in the scale.", below=("values",))
        for name, end in (("best", ranked[0].value), ("worst", ranked[-1].value)):
            if getattr(self, name) != end:
                wrong = f"By its ranks the {name} value is {end}."
                raise refusal("direction-unclear", wrong, "Rank 1 is the best.", below=(name,))
        return self


class ScaleValueOut(Out):
    value: str
    rank: int
    text: str


class RatingScaleOut(Out):
    code: str
    name: str
    best: str
    worst: str
    values: list[ScaleValueOut]
    source: str | None
    created_at: Utc


class RatingScaleMade(RatingScaleOut, Written):
    pass


Position = Annotated[
    str,
    BeforeValidator(lambda value: value.strip().upper() if isinstance(value, str) else value),
    Field(pattern=r"^[A-Z][0-9]{1,3}$", description="Place on the panel: A1"),
]


class TestIn(In):
    """One exposure: what is put on, how, and for how long."""

    at: Position
    test: Code = Field(examples=["WATER-16H"])
    tried: Short = Field(description="What is put on, in plain words; details behind a comma.")
    reagent: Code | None = Field(default=None, description="Its material, where it is one here.")
    mode: Mode
    contact: Contact | None = Field(default=None, description='"16 h"')
    rubs: int | None = Field(default=None, ge=1, le=100_000)
    temperature: Temperature | None = None
    scale: Code | None = Field(default=None, description="The rating scale, where one is used.")
    own_method: bool = Field(
        default=True, description="Whether it is the workshop's own, not a standard followed."
    )
    method: Line | None = Field(
        default=None, description="The standard with what departs from it; told in the sentence."
    )

    @model_validator(mode="after")
    def _complete(self) -> "TestIn":
        if self.mode in _NEEDS_CONTACT and self.contact is None:
            raise refusal("contact-missing", f"{self.mode} needs how long.", 'Send "contact".')
        if self.mode == "rub" and self.rubs is None:
            raise refusal("rubs-missing", "A rub needs how often.", 'Send "rubs".')
        if not self.own_method and self.method is None:
            wrong = "A test by a standard needs its name."
            raise refusal("method-missing", wrong, 'Send "method".')
        return self


class ProtocolVersionIn(In):
    method: Paragraph = Field(
        max_length=300, description="The standard followed, or that it is the workshop's own."
    )
    tests: list[TestIn] = Field(min_length=1, max_length=100)
    by: Code | None = None

    @model_validator(mode="after")
    def _each_once(self) -> "ProtocolVersionIn":
        for name in ("at", "test"):
            held: set[str] = set()
            for place, test in enumerate(self.tests):
                if (value := getattr(test, name)) in held:
                    wrong = f"{value} stands twice in the protocol."
                    raise refusal(f"{name}-twice", wrong, below=("tests", place, name))
                held.add(value)
        return self


class ProtocolIn(ProtocolVersionIn):
    code: Code
    name: Short


class TestOut(Out):
    at: str
    test: str
    tried: str
    does: str = Field(description="What is done, in words.")
    reagent: str | None
    mode: str
    contact: Amount | None
    rubs: int | None
    temperature: Amount | None
    scale: str | None
    own_method: bool
    method: str | None


class ProtocolVersionOut(Out):
    protocol: str
    name: str
    version: int
    method: str
    tests: list[TestOut]
    created_at: Utc
    created_by: str | None


class ProtocolOut(ProtocolVersionOut):
    """A protocol with its newest version."""

    code: str
    versions: list[int]


class ProtocolMade(ProtocolOut, Written):
    pass
