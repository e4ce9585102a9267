"""Bodies of the products slice."""

import re
from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field

from service.office.workshop_card.bodies import Language, Market
from service.web.fields import (
    Amount,
    Code,
    In,
    Out,
    Remark,
    Short,
    Utc,
    Volume,
    Written,
    number,
    refusal,
)
from service.workshop.materials.bodies import Figures, NamedFigure
from service.workshop.products.rules import Disclosure, gtin_problem

MOST_PACKS = 30
_PACK = re.compile(r"[A-Z0-9][A-Z0-9-]{0,19}")


def _pack(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    value = value.strip().upper()
    if not _PACK.fullmatch(value):
        raise refusal("bad-pack", "A pack is named by letters, digits, hyphens.", 'Send "250ML".')
    return value


def _gtin(value: str) -> str:
    if wrong := gtin_problem(value):
        hint = "Leave it out unless it is yours: only a licensee of a company prefix makes GTINs."
        raise refusal("bad-gtin", f"{value[:20]} is no GTIN for trade: {wrong}.", hint)
    return value


def _cents(value: Decimal) -> Decimal:
    exponent = value.as_tuple().exponent
    if isinstance(exponent, int) and exponent < -4:
        raise refusal("too-fine", "A price has at most four digits after the point.")
    return value


PackName = Annotated[str, Field(max_length=20, examples=["250ML"]), BeforeValidator(_pack)]
Gtin = Annotated[str, Field(max_length=14), AfterValidator(_gtin)]
Price: Any = Annotated[number("0", "1000000"), AfterValidator(_cents)]
Months = Annotated[int, Field(ge=1, le=600)]
Names = Annotated[dict[Language, Short], Field(min_length=1, max_length=8)]
Directions = Annotated[dict[Language, Remark], Field(max_length=8)]


class PackIn(In):
    """One size it is sold in."""

    pack: PackName
    container: Code
    closure: Code | None = None
    label: Code | None = Field(default=None, description="The printed label, kept by count.")
    nominal: Volume | None = Field(
        default=None, description="Nominal content; where absent, what the container holds."
    )
    gtin: Gtin | None = None
    price: Price | None = Field(default=None, description="In the workshop's currency.")

    def as_sent(self) -> dict[str, Any]:
        """The body as a client would write it again."""
        sent = {name: getattr(self, name) for name in self.model_fields_set}
        return {name: value if value is None else str(value) for name, value in sent.items()}


class ProductPatch(In):
    name: Names | Short = ""
    directions: Directions | Remark | None = None
    shelf_months: Months | None = None
    open_months: Months | None = None
    disclosure: Disclosure = "nothing"
    tell_oil_length: bool = False
    markets: list[Market] = Field(default=[], max_length=3)
    archived: bool = False


class ProductIn(In):
    code: Code
    recipe: Code
    name: Names | Short = Field(description="A text, or one for each language: {en: …}.")
    directions: Directions | Remark | None = None
    packs: list[PackIn] = Field(default=[], max_length=MOST_PACKS)
    figures: Figures = {}
    shelf_months: Months | None = None
    open_months: Months | None = Field(default=None, description="How long it keeps once opened.")
    disclosure: Disclosure | None = Field(
        default=None, description="What the public is told of the recipe; where absent: nothing."
    )
    tell_oil_length: bool | None = None
    markets: list[Market] | None = Field(
        default=None, max_length=3, description="Where absent, the workshop's."
    )


class PackOut(Out):
    product: str
    pack: str
    container: str
    closure: str | None
    label: str | None
    nominal: Amount
    gtin: str | None
    price: Amount | None


class PackMade(PackOut, Written):
    pass


class ProductOut(Out):
    code: str
    recipe: str
    name: dict[str, str]
    directions: dict[str, str]
    packs: list[PackOut]
    shelf_months: int | None
    open_months: int | None
    disclosure: str
    tell_oil_length: bool
    markets: list[str]
    created_at: Utc
    archived_at: Utc | None
    figures: list[NamedFigure]
    notes: dict[str, dict[str, Any]]


class ProductMade(ProductOut, Written):
    pass
