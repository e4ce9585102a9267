"""Lots, what is known of them, where they came from, and the shelf."""

from typing import Any, Literal

from pydantic import Field

from service.office.attachments.bodies import Attached
from service.web.fields import Amount, Day, Out, Utc
from service.workshop.materials.bodies import NamedFigure
from service.workshop.stock.bodies.amounts import Held
from service.workshop.stock.bodies.life import LifeNow

LotKind = Literal["received", "made", "packed"]
Quality = Literal["quarantine", "released", "rejected", "recalled"]


class LotOut(Out):
    lot: str
    kind: str
    material: str
    name: str
    quality: str
    condition: str | None
    came: Held = Field(description="What came, or was made, of it.")
    left: Held = Field(description="The sum of its ledger.")
    product: str | None
    pack: str | None
    container: str | None
    nominal: Amount | None
    receipt: str | None
    supplier: str | None = Field(description="Null for keys without the scope write.")
    supplier_lot: str | None = Field(description="Null for keys without the scope write.")
    certificate: Attached | None = Field(description="Null for keys without the scope write.")
    price: Amount | None = Field(description="Null for keys without the scope write.")
    opened_on: Day | None = Field(description="When a vessel of it was first opened.")
    made_on: Day | None
    expires_on: Day | None
    retest_on: Day | None
    ready_on: Day | None
    created_at: Utc


class LotFigure(NamedFigure):
    """A figure that holds for a lot."""

    of: str = Field(description="lot, or material where the lot has none of its own.")


class LotFigures(Out):
    lot: str
    figures: list[LotFigure]
    notes: dict[str, dict[str, Any]]


class LotShown(LotOut):
    life: LifeNow
    figures: list[LotFigure]
    notes: dict[str, dict[str, Any]]


class Reached(Out):
    """A lot at the end of one edge of a walk."""

    depth: int = Field(description="1 for what is connected directly.")
    lot: str
    kind: str
    material: str
    name: str
    quality: str
    amount: Held = Field(description="How much of the lot `of` went into the lot `went_into`.")
    of: str
    went_into: str
    left: Held


class TraceOut(Out):
    lot: str
    complete: bool = Field(description="False where the walk was ended by its bounds.")
    lots: list[Reached]


class StockOut(Out):
    lot: str
    material: str
    name: str
    kind: str
    quality: str
    left: Held
    reserved: Held = Field(description="For planned and running batches.")
    free: Held = Field(description="Left, less what is reserved.")
    unit_cost: Amount | None = Field(
        description="A kilogram or a piece; null for keys without the scope write."
    )
    value: Amount | None = Field(description="Null for keys without the scope write.")
    cost_basis: str | None = Field(description="receipt, or origins: what went into it.")
    expires_on: Day | None
    retest_on: Day | None
