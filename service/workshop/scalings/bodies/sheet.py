"""The preview of a batch sheet: a scaling as numbered lines to work by."""

from typing import Any

from pydantic import ConfigDict, Field

from service.web.fields import Amount, Figure, Out
from service.workshop.scalings.bodies.shown import (
    FlagOut,
    Makes,
    OtherLot,
    Shopping,
    Take,
    ToMake,
)


class ScalingSheetLine(Out):
    """One numbered line; which names it has follows from `do`."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    line: int
    do: str
    what: str | None = Field(default=None, description="A material's code.")
    name: str | None = None
    target: Figure | None = Field(default=None, description="Absent: as much as it needs.")
    how: str | None = Field(default=None, description="What the mass follows from.")
    condition: str | None = Field(default=None, description="How, when or how far it goes in.")
    allow: Amount | None = Field(default=None, description="How far off is within; see tolerance.")
    from_: list[Take] | None = Field(default=None, alias="from", description="Lots to take.")
    others: list[OtherLot] | None = Field(
        default=None, description="Open lots of what is added as it needs."
    )
    short: Amount | None = Field(default=None, description="What no open lot holds.")
    on: str | None = Field(default=None, description="The balance.")
    to: Figure | None = None
    ramp: Figure | None = Field(default=None, description="How fast it is heated.")
    time: Figure | None = Field(default=None, description="What the heating takes this kettle.")
    for_: Figure | None = Field(default=None, alias="for")
    until: str | None = None
    text: str | None = None
    undecided: str | None = Field(default=None, description="What the number still needs.")


class ScalingSheetCaution(Out):
    text: str
    rule: str
    danger: int = Field(description="1 is the most dangerous case.")
    why: str = Field(description="Which fact of the plan called for it.")
    line: int | None
    note: str | None


class ScalingSheetStage(Out):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    stage: str
    for_: Figure | None = Field(alias="for", description="How long it usually takes.")
    remark: str | None
    cautions: list[ScalingSheetCaution] = Field(description="Three at most, worst first.")
    folded: int
    folded_cautions: list[ScalingSheetCaution] = Field(description="Those that stand below.")
    lines: list[ScalingSheetLine]


class ScalingSheetKettle(Out):
    """How full the kettle stands at its fullest; null where a figure is not known."""

    equipment: str
    holds: str | None
    cold: Figure | None
    hot: Figure | None
    at_most: Figure | None
    stage: str | None
    missing: list[str] = Field(description="What would be needed for a null.")


class ScalingSheetOut(Out):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    scaling: str
    sha256: str = Field(description="Of the frozen scaling, as the digest of its bytes.")
    recipe: str
    version: int
    draft: bool = Field(description="Of a draft: to look at, never to make a batch from.")
    title: str
    for_: str = Field(alias="for", description="What was asked, in words.")
    makes: Makes
    kettle: ScalingSheetKettle | None
    balance: str | None
    tolerance: str = Field(description="The rule by which `allow` is worked out.")
    steps: list[ScalingSheetStage]
    flags: list[FlagOut]
    to_make: list[ToMake]
    shopping: list[Shopping]
    notes: dict[str, dict[str, Any]]
