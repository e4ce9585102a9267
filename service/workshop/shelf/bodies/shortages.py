"""Bodies of what runs short: how each material stands, how far it goes, and what to order."""

from typing import Literal

from pydantic import Field

from service.web.fields import Amount, Day, Out
from service.workshop.materials.ordering import OrderingOut
from service.workshop.shelf.rules import State
from service.workshop.stock.bodies import Held

Basis = Literal["past batches", "planned batch", "version"]


class CoverOut(Out):
    """How many batches of a recipe's version the free amount makes."""

    recipe: str
    version: int
    each: Held = Field(description="What one batch takes.")
    makes: Held = Field(description="What one batch makes.")
    batches: int
    wanted: int = Field(description="How many are made while a delivery is waited for; 1 at least.")
    basis: Basis
    how: str


class ShortageOut(Out):
    """How a material stands."""

    material: str
    name: str
    kind: str
    state: State
    why: str
    left: Held = Field(description="All that the ledger has of it.")
    blocked: Held = Field(description="Of that, in quarantine or expired.")
    reserved: Held = Field(description="What planned and running batches still need.")
    free: Held = Field(description="Left, less blocked, less reserved; below nothing: missing.")
    coming: Held = Field(description="What batches under way will make of it.")
    cover: list[CoverOut] = Field(description="The recipe that goes least far first.")
    undecided: list[str] = Field(description="Versions of which it is not known what they take.")
    order: OrderingOut | None
    needed_on: Day | None = Field(description="The first batch that waits for it.")
    order_by: Day | None = Field(description="That day, less the days a delivery takes.")


class OrderOut(Out):
    """What to order of a material, or to make."""

    material: str
    name: str
    amount: Held = Field(description="In whole drums or boxes, where it is known what one holds.")
    state: State
    why: str
    supplier: str | None = Field(description="Null for keys without the scope write.")
    supplier_from: Literal["material", "last receipt"] | None
    lead_days: int | None
    needed_on: Day | None
    order_by: Day | None
    estimate: Amount | None = Field(
        description="By the last price paid; null for keys without the scope write."
    )
    made_by: str | None = Field(description="The recipe, where it is made and not bought.")


class OrderListOut(Out):
    on: Day
    orders: list[OrderOut] = Field(description="By supplier, what is wanted first before.")
    to_make: list[OrderOut]
