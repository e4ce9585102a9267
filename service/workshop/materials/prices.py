"""Bodies of list prices: what a supplier asks where nothing was bought yet."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from service.web.fields import Amount, In
from service.web.money import Price, cents, money

Per = Literal["kg", "l", "piece"]


def _to_four_decimals(value: Decimal) -> Decimal:
    cents(value)
    return value


class ListPriceIn(In):
    value: Annotated[
        Price,
        AfterValidator(_to_four_decimals),
        Field(description="In the workshop's currency"),
    ]
    per: Per = Field(description="Containers, closures and labels per piece, all else kg or l.")


class ListPriceOut(Amount):
    """Money for so much of the material."""

    per: Per


def list_price(value: Decimal | None, per: str | None, currency: str | None) -> ListPriceOut | None:
    """A list price in a currency; None where there is none to show."""
    if (amount := money(value, currency)) is None or per is None:
        return None
    return ListPriceOut(value=amount.value, unit=amount.unit, per=per)
