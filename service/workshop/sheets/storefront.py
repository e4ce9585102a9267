"""What a shop shows of the products of which a lot is on sale."""

from service.office.documents.queries import content, latest, revision
from service.office.workshop_card.queries import card
from service.store.session import ReadSession
from service.workshop.labels.elements import size, told
from service.workshop.products import queries as products
from service.workshop.products.rules import UnknownProduct
from service.workshop.sheets import queries
from service.workshop.sheets._tables import Published
from service.workshop.sheets.bodies import (
    PackBrief,
    ProductBrief,
    ProductHazards,
    ProductList,
    ProductPage,
    PublicSheet,
)
from service.workshop.sheets.renderings import with_status
from service.workshop.stock.queries import lots_by_id


def on_sale(session: ReadSession) -> dict[str, list[Published]]:
    """The published lots that are on sale by product, the newest first."""
    rows = queries.every(session)
    lots = lots_by_id(session, [row.lot for row in rows])
    found: dict[str, list[Published]] = {}
    for row in rows:
        if queries.quality(session, lots[row.lot]) == "released":
            found.setdefault(row.product, []).append(row)
    return dict(sorted(found.items()))


def shop(
    session: ReadSession, address: str, *, market: str | None, language: str | None
) -> ProductList:
    """All products of which a lot is on sale."""
    spoken = language or card(session).languages[0]
    return ProductList(
        products=[
            _brief(session, rows, address=address, market=market, language=spoken)
            for rows in on_sale(session).values()
        ]
    )


def page(
    session: ReadSession, code: str, address: str, *, market: str | None, language: str | None
) -> ProductPage:
    """One product with the whole sheet of its newest lot. Raises UnknownProduct."""
    rows = on_sale(session).get(code.strip().upper())
    if not rows:
        raise UnknownProduct(f"No lot of a product {code[:20].upper()} is on sale here.")
    spoken = language or card(session).languages[0]
    brief = _brief(session, rows, address=address, market=market, language=spoken)
    product = products.product(session, brief.product)
    return ProductPage(
        **brief.model_dump(),
        directions=told(session, product, spoken)[1],
        latest=_sheet(session, rows[0], address),
    )


def _sheet(session: ReadSession, row: Published, address: str) -> PublicSheet:
    document = revision(session, "lot-sheet", row.number, None)
    now = queries.status(session, row, document)
    return PublicSheet.model_validate(with_status(content(document), now, address))


def _brief(
    session: ReadSession,
    rows: list[Published],
    *,
    address: str,
    market: str | None,
    language: str,
) -> ProductBrief:
    product = products.product(session, rows[0].product)
    newest = latest(session, "lot-sheet", rows[0].number)
    newest_of = {row.pack: row.number for row in reversed(rows)}
    return ProductBrief(
        product=product.code,
        name=told(session, product, language)[0],
        url=f"{address}/p/{product.code}",
        updated_at=newest.made_at if newest else session.now,
        packs=[
            PackBrief(
                pack=pack.pack,
                net=size(pack.nominal_ul),
                gtin=pack.gtin,
                latest=newest_of.get(pack.pack),
            )
            for pack in products.packs(session, product.code)
        ],
        hazards=ProductHazards(
            market=market or next(iter(product.markets), None),
            language=language,
            finding="not_assessed",
            signal=None,
            pictograms=[],
            statements=[],
            text=None,
        ),
    )
