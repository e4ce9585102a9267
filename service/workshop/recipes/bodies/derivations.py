"""Lines that follow from others by a rule: one body for each rule, with only its own fields."""

from decimal import Decimal
from typing import Annotated, Any, ClassVar, Literal

from pydantic import AfterValidator, Discriminator, Field, Tag

from service.web.fields import Amount, In, Line, Out, refusal
from service.workshop.recipes.bodies.amounts import (
    Cut,
    Excess,
    MadeUp,
    PerBinder,
    Share,
    Strength,
    as_kept,
)
from service.workshop.recipes.rules import MOST_LINES, RULE_FIGURES

Basis = Literal["oil", "oil and resin"]


def _once(numbers: list[int]) -> list[int]:
    if len(set(numbers)) < len(numbers):
        raise refusal("line-twice", "A line is named twice.", "Name each line once.")
    return numbers


Of = Annotated[
    list[Annotated[int, Field(ge=1, le=MOST_LINES)]],
    AfterValidator(_once),
    Field(max_length=MOST_LINES, description="Line numbers; where empty or absent, all that fit."),
]


class RuleIn(In):
    """What all rules share: read as a row keeps them."""

    assumes: ClassVar[dict[str, str]] = {}  # what is filled in where it is not sent
    rule: str

    @property
    def figure(self) -> Decimal | None:
        """The rule's figure in the unit of the sums, with the digits that a row keeps."""
        if self.rule not in RULE_FIGURES:
            return None
        field, unit = RULE_FIGURES[self.rule]
        sent = getattr(self, field)
        # Where it is not sent, all of what it looks at is meant.
        return Decimal(100) if sent is None else as_kept(sent, unit)

    @property
    def looks_at(self) -> list[int]:
        return getattr(self, "of", None) or []

    @property
    def beyond(self) -> Decimal | None:
        """Its excess in percent."""
        sent = getattr(self, "excess", None)
        return None if sent is None else as_kept(sent)


class NeutraliseIn(RuleIn):
    """Base or oxide for a share of the acid of resins."""

    assumes = {"of": "all that fit", "excess": "0 %"}
    rule: Literal["neutralise"]
    share: Share = Field(description="Of the acid in the pot.")
    of: Of | None = None
    excess: Excess | None = Field(default=None, description="Beyond the share; where absent, 0 %.")


class PrecipitateIn(RuleIn):
    """Salt for a share of the alkali charged."""

    assumes = {"share": "100 %", "of": "all that fit", "excess": "0 %"}
    rule: Literal["precipitate"]
    share: Share | None = Field(default=None, description="Of the alkali; where absent, 100 %.")
    of: Of | None = None
    excess: Excess | None = Field(default=None, description="Beyond the share; where absent, 0 %.")


class MetalIn(RuleIn):
    """Drier to so much metal on the oil, or on oil and resin."""

    rule: Literal["metal"]
    share: Share
    on: Basis


class SolidsIn(RuleIn):
    """Thinner down to a non-volatile content."""

    rule: Literal["solids"]
    share: Share = Field(description="The non-volatile content that it is thinned to.")


class PerBinderIn(RuleIn):
    """So much to the oil and resin in the pot."""

    rule: Literal["per-binder"]
    share: PerBinder = Field(description="Grams to 100 g of oil and resin.")


class RestIn(RuleIn):
    """What the lines in percent leave."""

    rule: Literal["rest"]


class VolumeIn(RuleIn):
    """Made up to a volume."""

    rule: Literal["volume"]
    volume: MadeUp = Field(description="To the parts of the other lines in grams.")


class CutIn(RuleIn):
    """Alcohol for a cut: pounds of resin to the US gallon of alcohol."""

    assumes = {"of": "all that fit"}
    rule: Literal["cut"]
    cut: Cut
    of: Of | None = None


class StrengthIn(RuleIn):
    """Water that brings a spirit down to a strength by volume."""

    assumes = {"of": "all that fit"}
    rule: Literal["strength"]
    strength: Strength
    of: Of | None = None


class AsNeededIn(RuleIn):
    """As much as it needs until a sign shows."""

    rule: Literal["as-needed"]
    until: Line


def _kind(value: Any) -> str | None:
    rule = value.get("rule") if isinstance(value, dict) else getattr(value, "rule", None)
    return f"{rule}In" if isinstance(rule, str) and f"{rule}In" in _TAGS else None


_RULES = (
    "neutralise",
    "precipitate",
    "metal",
    "solids",
    "per-binder",
    "rest",
    "volume",
    "cut",
    "strength",
    "as-needed",
)
_TAGS = frozenset(f"{rule}In" for rule in _RULES)
# The tags end like the names of bodies, which pointers leave out.
DeriveIn = Annotated[
    Annotated[NeutraliseIn, Tag("neutraliseIn")]
    | Annotated[PrecipitateIn, Tag("precipitateIn")]
    | Annotated[MetalIn, Tag("metalIn")]
    | Annotated[SolidsIn, Tag("solidsIn")]
    | Annotated[PerBinderIn, Tag("per-binderIn")]
    | Annotated[RestIn, Tag("restIn")]
    | Annotated[VolumeIn, Tag("volumeIn")]
    | Annotated[CutIn, Tag("cutIn")]
    | Annotated[StrengthIn, Tag("strengthIn")]
    | Annotated[AsNeededIn, Tag("as-neededIn")],
    Discriminator(
        _kind,
        custom_error_type="rule_unknown",
        custom_error_message=f"This is no rule. Send `rule` as one of: {', '.join(_RULES)}.",
    ),
]


class ReactingOut(Out):
    rule: Literal["neutralise", "precipitate"]
    share: Amount
    of: list[int] = Field(description="Empty: all that fit.")
    excess: Amount


class MetalOut(Out):
    rule: Literal["metal"]
    share: Amount
    on: Basis


class SharedOut(Out):
    rule: Literal["solids", "per-binder"]
    share: Amount


class RestOut(Out):
    rule: Literal["rest"]


class VolumeOut(Out):
    rule: Literal["volume"]
    volume: Amount


class CutOut(Out):
    rule: Literal["cut"]
    cut: Amount
    of: list[int] = Field(description="Empty: all that fit.")


class StrengthOut(Out):
    rule: Literal["strength"]
    strength: Amount
    of: list[int] = Field(description="Empty: all that fit.")


class AsNeededOut(Out):
    rule: Literal["as-needed"]
    until: str


DeriveOut = Annotated[
    ReactingOut | MetalOut | SharedOut | RestOut | VolumeOut | CutOut | StrengthOut | AsNeededOut,
    Field(discriminator="rule"),
]
