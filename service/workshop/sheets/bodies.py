"""Bodies of the sheets slice; their parts are the plain values of the document."""

from typing import Any

from pydantic import Field

from service.web.fields import Out, Utc
from service.workshop.sheets.document import Constant, Content, Hazards, NotTried, Seen

_HAZARDS = (
    "Cautions of the trade. Hazard classes are not assessed by this service (`finding` is "
    "`not_assessed`): signal word, pictograms and statements are empty, which rules no hazard out."
)


class LotSheetOut(Out):
    """The lot data sheet: what was put on it and what was seen."""

    lot: str
    product: str
    name: str
    revision: int
    published_on: str
    made_on: str | None
    filled_on: str | None
    net: str
    url: str
    age: str
    saw: list[Seen]
    not_tried: NotTried
    constants: list[Constant]
    contents: list[Content] | None = Field(
        description="By falling mass; null where the product tells nothing."
    )
    hazards: Hazards = Field(description=_HAZARDS)
    directions: str | None
    best_before: str | None
    after_opening: str | None
    notes: dict[str, dict[str, Any]]


class StatusOut(Out):
    """How the lot stands now; the frozen bytes do not carry it."""

    state: str
    notice: str | None = Field(description="Null unless something is wrong.")
    text: str
    sold_from: str
    checked_on: str


class PublicSheet(LotSheetOut):
    """A published sheet with its present status; every address is absolute."""

    status: StatusOut


class SheetDraft(LotSheetOut):
    """The sheet as it would be frozen now, or a frozen revision."""

    draft: bool
    sha256: str | None = Field(description="Of the frozen bytes; null for a draft.")
    frozen: list[int] = Field(description="All frozen revisions of this lot.")
    differs_from_frozen: list[str]


class PackedBrief(Out):
    """A published packed lot."""

    lot: str
    product: str
    net: str
    url: str


class BulkOut(Out):
    """The number of a kettle: the jars that were filled from it."""

    lot: str
    packed: list[PackedBrief]


class ProductHazards(Out):
    """Not assessed by this service, which rules no hazard out."""

    market: str | None
    language: str
    finding: str = Field(description="Always `not_assessed`.")
    signal: str | None
    pictograms: list[dict[str, str]]
    statements: list[dict[str, str]]
    text: str | None


class PackBrief(Out):
    pack: str
    net: str
    gtin: str | None
    latest: str | None = Field(description="The newest lot on sale in this pack.")


class ProductBrief(Out):
    """A product of which a lot is on sale."""

    product: str
    name: str
    url: str
    updated_at: Utc
    packs: list[PackBrief]
    hazards: ProductHazards


class ProductList(Out):
    products: list[ProductBrief]


class ProductPage(ProductBrief):
    directions: str | None
    latest: PublicSheet | None = Field(description="The whole sheet of the newest lot on sale.")
