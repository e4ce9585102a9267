"""What there is of each material, over all of its lots."""

from typing import Literal

from pydantic import Field

from service.web.fields import Amount, Day, Out
from service.workshop.stock.bodies.amounts import Held


class BalanceOut(Out):
    """The lots of a material that are kept alike: by mass, or by the pieces of one pack."""

    kept: Literal["mass", "count"]
    pack: str | None = Field(description="Of filled packs their name; null for anything else.")
    left: Held = Field(description="The sum of the ledgers; the five below add up to it.")
    open: Held = Field(description="Released and in date.")
    quarantine: Held
    expired: Held = Field(description="Released, and past its day.")
    rejected: Held = Field(description="Rejected or recalled, and still here.")
    below_zero: Held = Field(description="What ledgers owe, 0 or less: a count settles it.")
    lots: int = Field(description="Lots whose ledger is not at nothing.")
    next_expiry: Day | None = Field(description="The first day on which an open lot expires.")
    value: Amount | None = Field(description="Null for keys without the scope write.")
    at_least: bool = Field(description="Whether a lot without a price is missing in the value.")


class MaterialStock(Out):
    material: str
    name: str
    kind: str
    balances: list[BalanceOut] = Field(description="Empty where all of it is used up.")
