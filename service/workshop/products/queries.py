"""What is read of products, their texts and packs."""

import functools
from collections.abc import Sequence

from sqlalchemy import bindparam
from sqlmodel import col, select
from sqlmodel.sql.expression import SelectOfScalar

from service.errors import Invalid, at
from service.office.workshop_card.queries import card
from service.store import named
from service.store.lists import Listing
from service.store.session import ReadSession
from service.web.amounts import litres
from service.web.footnotes import Footnotes
from service.workshop.materials.queries import known_figures, shown_figures
from service.workshop.products._tables import Pack as Pack
from service.workshop.products._tables import Product as Product
from service.workshop.products._tables import ProductText as ProductText
from service.workshop.products.bodies import PackOut, ProductOut
from service.workshop.products.rules import UnknownPack, UnknownProduct
from service.workshop.stock.bodies import money

LISTING = Listing(
    "products",
    Product,
    sorts=("code", "created_at"),
    default_sort="code",
    filters={"recipe": str},
)


def product(session: ReadSession, code: str) -> Product:
    """Raises UnknownProduct."""
    return named.get(session, Product, code, missing=UnknownProduct)


def named_in_body(session: ReadSession, code: str, *, pointer: str) -> Product:
    """A product named in a body. Raises Invalid at its pointer."""
    if (row := named.find(session, Product, code)) is None:
        wrong = f"There is no product {code}."
        hint = "Make it first: POST /v1/products, or look at its spelling."
        raise Invalid(wrong, at(pointer, wrong, "product-unknown", hint=hint))
    return row


def packs(session: ReadSession, product_code: str) -> list[Pack]:
    """The packs of a product, in the order in which they were added."""
    found = select(Pack).where(Pack.product == product_code.strip().upper())
    return list(session.exec(found.order_by(col(Pack.id))))


def pack(session: ReadSession, product_code: str, pack: str) -> Pack:
    """Raises UnknownPack, which lists those there are."""
    known = packs(session, product_code)
    wanted = pack.strip().upper()
    for row in known:
        if row.pack == wanted:
            return row
    there = ", ".join(row.pack for row in known) or "none yet"
    raise UnknownPack(f"{product_code.upper()[:20]} has the packs {there}; not {wanted[:20]!r}.")


def products_of_recipe(session: ReadSession, recipe_code: str) -> list[Product]:
    """The products in use that a recipe makes, by code."""
    return list(session.exec(_of_recipe(), params={"recipe": recipe_code.strip().upper()}))


@functools.cache
def _of_recipe() -> SelectOfScalar[Product]:
    made_by = (Product.recipe == bindparam("recipe"), col(Product.archived_at).is_(None))
    return select(Product).where(*made_by).order_by(col(Product.code))


def texts(session: ReadSession, product_code: str) -> Sequence[ProductText]:
    """Names and directions in every language, by language."""
    found = select(ProductText).where(ProductText.product == product_code.strip().upper())
    return session.exec(found.order_by(col(ProductText.language))).all()


def text(session: ReadSession, product_code: str, language: str) -> ProductText | None:
    """Name and directions in one language, or None."""
    return next((row for row in texts(session, product_code) if row.language == language), None)


def bearer_of(session: ReadSession, gtin: str) -> Pack | None:
    """The pack that bears a GTIN, or None."""
    return session.exec(select(Pack).where(Pack.gtin == gtin)).first()


def shown_pack(session: ReadSession, row: Pack) -> PackOut:
    nominal = litres(row.nominal_ul)
    if nominal is None:
        raise LookupError("a pack always has its nominal content")
    return PackOut(
        product=row.product,
        pack=row.pack,
        container=row.container,
        closure=row.closure,
        label=row.label,
        nominal=nominal,
        gtin=row.gtin,
        price=money(row.price, card(session).currency),
    )


def shown(session: ReadSession, row: Product) -> ProductOut:
    notes = Footnotes()
    called = texts(session, row.code)
    figures = shown_figures(known_figures(session, "product", row.code), notes)
    return ProductOut(
        code=row.code,
        recipe=row.recipe,
        name={text.language: text.name for text in called},
        directions={text.language: text.directions for text in called if text.directions},
        packs=[shown_pack(session, pack) for pack in packs(session, row.code)],
        shelf_months=row.shelf_months,
        open_months=row.open_months,
        disclosure=row.disclosure,
        tell_oil_length=row.tell_oil_length,
        markets=list(row.markets),
        created_at=row.created_at,
        archived_at=row.archived_at,
        figures=figures,
        notes=notes.as_json(),
    )
