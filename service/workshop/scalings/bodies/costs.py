"""What a version costs: line by line, for a kilogram, a litre and a jar."""

from typing import Any, Literal

from pydantic import ConfigDict, Field

from service.web.fields import Amount, Day, Figure, Out


class CostOut(Out):
    """Money, and what of it is not known."""

    amount: Amount | None = Field(description="Null where nothing of it has a price.")
    at_least: bool = Field(description="Whether something is missing in it.")
    missing: list[str]
    text: str


class LeafOut(Out):
    """Something that an intermediate is made of in the end."""

    material: str
    charged: Amount | None = Field(description="For 1 kg of the intermediate.")
    price: Amount | None
    text: str = Field(description="Where the price is from.")


class PricedByOut(Out):
    """Where a price is from."""

    kind: Literal["receipt", "lot", "recipe", "list"]
    receipt: str | None
    lot: str | None
    on: Day | None
    recipe: str | None
    version: int | None
    made_from: list[LeafOut] = Field(description="Of an intermediate that was taken apart.")
    text: str


class CostLineOut(Out):
    """One line of the version, for 1 kg of what comes out."""

    line: int
    material: str
    name: str
    stage: str
    charged: Amount | None = Field(description="Weighed in; null where that is not known.")
    kept: Amount | None = Field(description="What the losses leave of it.")
    price: Amount | None = Field(description="For a kilogram; to four decimals.")
    by: PricedByOut | None
    cost: CostOut = Field(description="Of all that is weighed in.")
    cost_kept: CostOut = Field(description="Of what the losses leave of it.")


class LossesOut(Out):
    """What is weighed in and does not come out, as declared and by chemistry; below 0 more comes
    out than was paid for."""

    mass: Amount | None
    cost: CostOut


class LabourCostOut(Out):
    """Work by hand, for 1 kg of what comes out."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    time: Amount | None
    for_: Amount | None = Field(alias="for", description="What comes out for that time.")
    rate: Amount | None
    cost: CostOut


class ContentOut(Out):
    nominal: Amount
    density: Figure | None
    mass: Amount | None
    cost: CostOut


class JarPartOut(Out):
    part: Literal["container", "closure", "label"]
    material: str
    price: Amount | None = Field(description="For a piece; to four decimals.")
    by: PricedByOut | None
    cost: CostOut


class JarOut(Out):
    """One jar of a product, content and all."""

    product: str
    pack: str
    content: ContentOut
    parts: list[JarPartOut]
    total: CostOut


class TotalsOut(Out):
    materials_as_kept: CostOut
    materials_as_charged: CostOut = Field(description="As kept, and the losses.")
    per_kg: CostOut = Field(description="Materials as charged, and labour.")
    per_litre: CostOut
    per_jar: list[JarOut] = Field(description="Every pack of the products in use.")


class VersionCostsOut(Out):
    """What a version costs with the prices known now."""

    recipe: str
    version: int
    state: str
    makes: str
    currency: str | None
    lines: list[CostLineOut]
    losses: LossesOut
    labour: LabourCostOut
    density: Figure | None = Field(description="Of what comes out.")
    totals: TotalsOut
    not_reckoned: list[str] = Field(
        description="Values without which a reaction was not reckoned, what it gives off counting "
        "as coming out; labour in what is made first; a measured loss, the declared one counting."
    )
    rounding: str
    notes: dict[str, dict[str, Any]]
