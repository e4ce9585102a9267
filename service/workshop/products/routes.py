"""Products over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Response

from service.errors import CodeTaken, InUse, Invalid
from service.store.lists import Ask, page
from service.web.etags import IfMatch, etag_of
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.materials.actions import record_figure
from service.workshop.materials.bodies import FigureIn, FigureMade, FigureOut
from service.workshop.materials.queries import FIGURES, shown_figure
from service.workshop.products import actions, queries
from service.workshop.products.bodies import (
    PackIn,
    PackMade,
    ProductIn,
    ProductMade,
    ProductOut,
    ProductPatch,
)
from service.workshop.products.rules import PackTaken, UnknownProduct

router = APIRouter(prefix="/v1/products", tags=["products"], route_class=Route)


@router.get("", summary="List the products")
def list_products(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[ProductOut]:
    return link(page(session, queries.LISTING, ask), lambda row: queries.shown(session, row))


@router.post(
    "",
    status_code=201,
    summary="Make a product with its packs",
    responses=problems(CodeTaken, Invalid, PackTaken),
)
def create_product(wanted: ProductIn, session: Writing, response: Response) -> ProductMade:
    row, assumed = actions.create_product(session, wanted)
    response.headers.update({"ETag": etag_of(row), "Location": f"/v1/products/{row.code}"})
    shown = queries.shown(session, row)
    packs = ", ".join(pack.pack for pack in shown.packs) or "no pack yet"
    summary = f"{row.code} made by the recipe {row.recipe}; {packs}."
    return ProductMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.get("/{code}", summary="Show a product", responses=problems(UnknownProduct))
def get_product(code: str, session: Reading, response: Response) -> ProductOut:
    row = queries.product(session, code)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(session, row)


@router.patch(
    "/{code}", summary="Change or archive a product", responses=problems(UnknownProduct, Invalid)
)
def change_product(
    code: str, patch: ProductPatch, condition: IfMatch, session: Writing, response: Response
) -> ProductOut:
    row = actions.change_product(session, code, patch, condition)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(session, row)


@router.delete(
    "/{code}",
    summary="Delete a product nothing ever pointed at",
    responses=problems(UnknownProduct, InUse),
)
def delete_product(code: str, condition: IfMatch, session: Writing) -> ProductOut:
    return actions.delete_product(session, code, condition)


@router.post(
    "/{code}/packs",
    status_code=201,
    summary="Add a pack",
    responses=problems(UnknownProduct, Invalid, PackTaken),
)
def add_pack(code: str, wanted: PackIn, session: Writing) -> PackMade:
    row, assumed = actions.add_pack(session, code, wanted)
    shown = queries.shown_pack(session, row)
    summary = f"{row.product} is sold as {row.pack}: {shown.nominal.value} {shown.nominal.unit}."
    return PackMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.post(
    "/{code}/figures",
    status_code=201,
    summary="Record a figure of a product",
    responses=problems(UnknownProduct),
)
def record_product_figure(code: str, wanted: FigureIn, session: Writing) -> FigureMade:
    product = queries.product(session, code)
    row = record_figure(session, ("product", product.code), wanted)
    shown = shown_figure(session, row)
    assumed = {} if wanted.by else {"by": row.by}
    summary = f"{shown.label} of {product.code}: {row.entered_value} {row.entered_unit}."
    return FigureMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.get(
    "/{code}/figures", summary="List the figures of a product", responses=problems(UnknownProduct)
)
def list_product_figures(
    code: str, ask: Annotated[Ask, Depends(asking(FIGURES))], session: Reading, link: Linking
) -> Listed[FigureOut]:
    product = queries.product(session, code)
    own = {"subject_kind": "product", "subject": product.code}
    where = [FIGURES.column(name) == value for name, value in own.items()]
    found = page(session, FIGURES, ask, where=where)
    return link(found, lambda row: shown_figure(session, row))
