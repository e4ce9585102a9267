"""Bodies of the stages of a batch as they were worked."""

from typing import Annotated, Any, ClassVar, Literal

from pydantic import ConfigDict, Field, model_validator

from service.web.corrections import CorrectionIn, ReplacementIn, Traced
from service.web.fields import (
    Amount,
    Code,
    Day,
    Figure,
    In,
    Instant,
    Out,
    Paragraph,
    Utc,
    Written,
    amount,
    refusal,
)
from service.workshop.batches.bodies.balance import Weight
from service.workshop.deviations.bodies import Flag
from service.workshop.recipes.rules import Stage

Part = Literal["clear", "foots", "residue", "water", "whole", "other"]
Goes = Literal["on", "lot", "scrap"]
GOES_ON = frozenset({"clear", "whole"})
Share: Any = amount("fraction", unit="%", low="0.001", high="20")
Entry = Annotated[int, Field(ge=1, lt=2**63)]
_PART = "clear: what is drawn off and worked on; foots: what settled; whole: all of it."


class WeighInIn(In):
    """All that is in the stage, weighed at a time: weekly in the sun, hourly in the oven."""

    at: Instant | None = Field(default=None, description="Where absent, when the entry happened.")
    amount: Weight
    balance: Code | None = Field(default=None, description="Where absent, the last used.")
    remark: Paragraph | None = None


class OutIn(In):
    """One part of what came out, and where it went."""

    part: Part = Field(description=_PART)
    amount: Weight
    goes: Goes | None = Field(
        default=None, description="Where absent: clear and whole go on to the next stage."
    )
    material: Code | None = Field(default=None, description="Of a part that is kept as a lot.")
    balance: Code | None = Field(default=None, description="Where absent, the last used.")
    remark: Paragraph | None = None

    @model_validator(mode="after")
    def _gone_somewhere(self) -> "OutIn":
        if self.goes is None and self.part not in GOES_ON:
            hint = 'Send "goes": "scrap", or "lot" with its "material", or "on".'
            wrong = f"It is not said where the {self.part} went."
            raise refusal("goes-missing", wrong, hint, below=("goes",))
        if (self.destination == "lot") != (self.material is not None):
            hint = "Send it for what is kept as a lot, and for nothing else."
            raise refusal("lot-material", "A lot has a material.", hint, below=("material",))
        return self

    @property
    def destination(self) -> Goes:
        return self.goes or "on"


WeighIns = Annotated[list[WeighInIn], Field(max_length=100)]
Outs = Annotated[list[OutIn], Field(max_length=20)]


class StageIn(In):
    """A stage begun; sent afterwards, with all that was weighed in it and its end."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    stage: Stage
    started_at: Instant | None = Field(default=None, description="Where absent, now.")
    in_: Weight | None = Field(
        default=None, alias="in", description="What was in the pot as it began, where weighed."
    )
    balance: Code | None = Field(default=None, description="Of `in`; else the last used.")
    equipment: Annotated[list[Code], Field(max_length=10)] = Field(
        default=[], description="Kettle, strainer, thermometer: what it was done with."
    )
    constant_within: Share | None = Field(
        default=None,
        description="Dry once two weigh-ins one after the other differ by no more than this.",
    )
    ready_on: Day | None = Field(
        default=None, description="From when on it is ripe; only of maturing."
    )
    weigh_ins: WeighIns = []
    out: Outs = []
    ended_at: Instant | None = Field(default=None, description="Where absent, it goes on.")
    remark: Paragraph | None = None
    by: Code | None = None
    checked_by: Code | None = None

    @model_validator(mode="after")
    def _of_maturing(self) -> "StageIn":
        if self.ready_on is not None and self.stage != "mature":
            hint = 'Record it as a stage "mature".'
            wrong = f"Nothing becomes ready by {self.stage}."
            raise refusal("ready-without-maturing", wrong, hint, below=("ready_on",))
        return self


class StageEntryIn(In):
    """How a stage went on: weighed, taken out of, ended."""

    weigh_ins: WeighIns = []
    out: Outs = []
    ended: bool = False
    happened_at: Instant | None = None
    remark: Paragraph | None = Field(default=None, description="Of its end.")
    by: Code | None = None
    checked_by: Code | None = None

    @model_validator(mode="after")
    def _something(self) -> "StageEntryIn":
        if not (self.weigh_ins or self.out or self.ended):
            hint = 'Send "weigh_ins", "out" or "ended": true.'
            raise refusal("nothing-entered", "It is not said what happened.", hint)
        if self.remark is not None and not self.ended:
            hint = "Put it beside the weigh-in or the part."
            raise refusal("remark-of-end", "This remark is of an end.", hint, below=("remark",))
        return self


class StageReplacement(ReplacementIn):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)
    needed: ClassVar[frozenset[str]] = frozenset({"stage", "started_at", "equipment"})

    stage: Stage | None = None
    started_at: Instant | None = None
    in_: Weight | None = Field(default=None, alias="in")
    balance: Code | None = None
    equipment: Annotated[list[Code], Field(max_length=10)] | None = None
    constant_within: Share | None = None
    ready_on: Day | None = None
    remark: Paragraph | None = None
    checked_by: Code | None = None


class StageCorrection(CorrectionIn):
    """Voided, a stage takes all its entries with it."""

    replaces: StageReplacement | None = None


class StageEntryReplacement(ReplacementIn):
    needed: ClassVar[frozenset[str]] = frozenset({"amount", "happened_at"})

    amount: Weight | None = None
    happened_at: Instant | None = None
    balance: Code | None = None
    remark: Paragraph | None = None
    checked_by: Code | None = None


class StageEntryCorrection(CorrectionIn):
    replaces: StageEntryReplacement | None = None


class EquipmentUsed(Out):
    """A piece of equipment as it was used on that day."""

    code: str
    kind: str
    reads_to: Amount | None
    calibrated_until: Day | None
    lapsed: bool | None = Field(description="Null where no calibration is known.")


class _Entered(Traced):
    entry: int
    happened_at: Utc
    about: str | None
    entered_at: Utc
    by: str | None
    checked_by: str | None
    remark: str | None


class WeighInOut(_Entered):
    weighed: Figure
    balance: str | None
    since_start: Figure | None = Field(description="Against what was in the pot; below 0: less.")
    since_last: Figure | None = Field(description="Against the weigh-in before.")


class PartOut(_Entered):
    part: str
    weighed: Figure
    balance: str | None
    goes: str
    lot: str | None


class EndOut(_Entered):
    pass


class StageYield(Out):
    """What came out of a stage, beside what was in it and what the plan makes of it."""

    out: Figure = Field(description="All parts together.")
    of_charge: Figure | None
    theory: Figure | None = Field(description="What the plan leaves after this stage.")
    of_theory: Figure | None = Field(description="What goes on, of theory.")


class BalanceOut(Out):
    """What is missing (below 0: what is too much), and whether the process explains it."""

    missing: Figure
    uncertainty: Figure | None = Field(description="Twice the standard uncertainty of `missing`.")
    at_least: bool = Field(description="More than `uncertainty`: some readings have no balance.")
    without_readability: int = Field(description="Masses whose balance says nothing of its step.")
    closed: bool | None = Field(description="Whether it is missing nothing within `uncertainty`.")
    expected: list[Figure] | None = Field(description="The least and the most that should be left.")
    how: str = Field(description="By which bands, or what is not known.")
    judged: Literal["within", "loss", "gain", "undecided"]


class StageOut(Traced):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    batch: str
    number: int
    entry: int
    stage: str
    state: Literal["running", "ended"]
    started_at: Utc
    about: str | None
    ended_at: Utc | None
    lasted: Amount | None
    planned: Amount | None = Field(description="How long the recipe says it usually takes.")
    entered_at: Utc
    by: str | None
    checked_by: str | None
    in_: Figure | None = Field(alias="in", description="In the pot as it began.")
    weighed_in: Figure | None = Field(description="What was weighed in during it.")
    balance_used: str | None
    equipment: list[EquipmentUsed]
    weigh_ins: list[WeighInOut]
    out: list[PartOut]
    end: EndOut | None
    constant_within: Amount | None
    constant: bool | None = Field(description="Null where nothing is asked, or not twice weighed.")
    ready_on: Day | None
    yield_: StageYield | None = Field(alias="yield")
    balance: BalanceOut | None
    remark: str | None


class StageMade(StageOut, Written):
    flags: list[Flag]


class StageEntryCorrected(StageMade):
    """The stage as it stands after one of its entries was corrected."""

    corrected: int = Field(description="The entry that stands now, or voids.")
