"""Sheets over HTTP: drafts and revisions for the maker, and the face that needs no key."""

import hashlib
from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Request
from fastapi.responses import Response

from service.office.documents.rules import UnknownDocument
from service.office.workshop_card.bodies import Language, Market
from service.office.workshop_card.queries import card
from service.store.session import ReadSession
from service.web.negotiation import page, prefers_html
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading
from service.workshop.labels.rules import NotPacked
from service.workshop.products.rules import UnknownProduct
from service.workshop.sheets import faces, queries, storefront
from service.workshop.sheets.bodies import (
    BulkOut,
    LotSheetOut,
    ProductList,
    ProductPage,
    PublicSheet,
    SheetDraft,
)
from service.workshop.sheets.faces import Face
from service.workshop.sheets.rules import sound_address
from service.workshop.stock.queries import lot as lot_of
from service.workshop.stock.rules import MistypedLot, UnknownLot

router = APIRouter(tags=["data sheets"], route_class=Route)

_FRESH = "public, max-age=60, must-revalidate"
_FOREVER = "public, max-age=31536000, immutable"
_LOT = (UnknownLot, MistypedLot)
_HTML: dict[int | str, dict[str, Any]] = {
    200: {"content": {"text/html": {"schema": {"type": "string"}}}}
}
_CSV: dict[int | str, dict[str, Any]] = {
    200: {"content": {"text/csv": {"schema": {"type": "string"}}}}
}
_SHEET: dict[int | str, dict[str, Any]] = {200: {"model": PublicSheet | BulkOut}}
_FROZEN: dict[int | str, dict[str, Any]] = {200: {"model": LotSheetOut}}
_FORGIVING = "Spaces, dots, dashes and case of the number make no difference."
Number = Annotated[int, Path(ge=1, le=100_000, description="Revision of the sheet")]
AskMarket = Annotated[Market | None, Query(description="Where absent, the product's first")]
AskLanguage = Annotated[Language | None, Query(description="Where absent, the workshop's first")]


def _address(request: Request, session: ReadSession) -> str:
    return sound_address(card(session).public_address or str(request.base_url))


def _answer(found: Face) -> Response:
    """A face with its tag, its cache rule and the address it is really at."""
    if found.form == "html":
        response: Response = page(found.body, cache=_FRESH)
    else:
        response = Response(found.body, media_type=found.media)
    digest = hashlib.sha256(found.body).hexdigest()[:24]
    ending = "" if found.form == "html" else f".{found.form}"
    response.headers["Cache-Control"] = _FRESH
    response.headers["ETag"] = f'"{digest}.{found.form}"'
    response.headers["Content-Location"] = f"/l/{found.number}{ending}"
    return response


@router.get(
    "/v1/lots/{lot}/sheets/draft",
    summary="Draw up the data sheet of a packed lot",
    responses=problems(*_LOT, NotPacked),
)
def get_sheet_draft(lot: str, session: Reading) -> SheetDraft:
    return queries.draft(session, lot_of(session, lot))


@router.get(
    "/v1/lots/{lot}/sheets/latest",
    summary="Show the newest frozen data sheet",
    responses=problems(*_LOT, UnknownDocument),
)
def get_latest_sheet(lot: str, session: Reading) -> SheetDraft:
    return queries.revision(session, lot_of(session, lot), None)


@router.get(
    "/v1/lots/{lot}/sheets/{number}",
    summary="Show a frozen data sheet",
    responses=problems(*_LOT, UnknownDocument),
)
def get_sheet(lot: str, number: Number, session: Reading) -> SheetDraft:
    return queries.revision(session, lot_of(session, lot), number)


@router.get("/L", include_in_schema=False)
@router.get(
    "/l",
    summary="Look up the number on a jar",
    description=f"Without `number`, the form. {_FORGIVING}",
    responses=_HTML | problems(*_LOT),
    response_class=Response,
)
def look_up_lot(
    request: Request,
    session: Reading,
    number: Annotated[str, Query(max_length=200, description="As it stands on the jar")] = "",
) -> Response:
    if not number.strip():
        return page(faces.form(), cache=_FRESH)
    return get_lot_page(number, request, session)


@router.get("/L/{lot}.json", include_in_schema=False)
@router.get(
    "/l/{lot}.json",
    summary="The data sheet of a jar, with its present status",
    description=f"{_FORGIVING} The number of a kettle lists the jars filled from it.",
    responses=_SHEET | problems(*_LOT),
)
def get_lot_json(lot: str, request: Request, session: Reading) -> Response:
    return _answer(faces.face(session, lot, "json", address=_address(request, session)))


@router.get("/L/{lot}.csv", include_in_schema=False)
@router.get(
    "/l/{lot}.csv",
    summary="The data sheet of a jar as rows",
    description=_FORGIVING,
    responses=_CSV | problems(*_LOT),
    response_class=Response,
)
def get_lot_csv(lot: str, request: Request, session: Reading) -> Response:
    return _answer(faces.face(session, lot, "csv", address=_address(request, session)))


@router.get("/L/{lot}/r/{number}.json", include_in_schema=False)
@router.get(
    "/l/{lot}/r/{number}.json",
    summary="The frozen bytes of a published sheet",
    description="Exactly the canonical bytes (RFC 8785); they never change and carry no status. "
    "The ETag is their SHA-256; the Link header names the page that has the status.",
    responses=_FROZEN | problems(*_LOT, UnknownDocument),
)
def get_frozen_sheet(lot: str, number: Number, session: Reading) -> Response:
    row = queries.published(session, lot)
    document = queries.frozen_bytes(session, row, number)
    headers = {
        "Cache-Control": _FOREVER,
        "ETag": f'"{document.sha256}"',
        "Content-Location": f"/l/{row.number}/r/{number}.json",
        "Link": f'</l/{row.number}>; rel="latest-version"',
    }
    return Response(document.canonical, media_type="application/json", headers=headers)


@router.get("/L/{lot}", include_in_schema=False)
@router.get(
    "/l/{lot}",
    summary="The page of a jar",
    description=f"What the code on a jar opens. {_FORGIVING}",
    responses=_HTML | problems(*_LOT),
    response_class=Response,
)
def get_lot_page(lot: str, request: Request, session: Reading) -> Response:
    try:
        found = faces.face(session, lot, "html", address=_address(request, session))
    except (UnknownLot, MistypedLot) as missing:
        if not prefers_html(request):
            raise
        return page(faces.not_found(missing), status=404, cache="no-store")
    return _answer(found)


@router.get(
    "/p.json",
    summary="All products of which a lot is on sale",
    description="Hazard classes are not assessed by this service: `hazards.finding` is "
    "`not_assessed`, which rules no hazard out.",
)
def list_public_products(
    request: Request,
    session: Reading,
    response: Response,
    market: AskMarket = None,
    language: AskLanguage = None,
) -> ProductList:
    response.headers["Cache-Control"] = _FRESH
    address = _address(request, session)
    return storefront.shop(session, address, market=market, language=language)


@router.get(
    "/p/{product}.json",
    summary="A product with the sheet of its newest lot on sale",
    description="Hazard classes are not assessed by this service: `hazards.finding` is "
    "`not_assessed`, which rules no hazard out.",
    responses=problems(UnknownProduct),
)
def get_public_product(
    product: str,
    request: Request,
    session: Reading,
    response: Response,
    market: AskMarket = None,
    language: AskLanguage = None,
) -> ProductPage:
    response.headers["Cache-Control"] = _FRESH
    address = _address(request, session)
    return storefront.page(session, product, address, market=market, language=language)


@router.get(
    "/p/{product}",
    summary="The page of a product",
    responses=_HTML | problems(UnknownProduct),
    response_class=Response,
)
def get_product_page(product: str, request: Request, session: Reading) -> Response:
    address = _address(request, session)
    try:
        shown = storefront.page(session, product, address, market=None, language=None)
    except UnknownProduct as missing:
        if not prefers_html(request):
            raise
        return page(faces.no_product(missing), status=404, cache="no-store")
    return page(faces.product(shown), cache=_FRESH)
