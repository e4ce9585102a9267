"""The public faces of a number: a jar's sheet, a kettle's jars, or a friendly no."""

import json
from dataclasses import dataclass
from typing import Literal

from service.errors import Refused
from service.press import csv, html
from service.press.blocks import Document
from service.store.session import ReadSession
from service.workshop.labels.elements import size
from service.workshop.sheets import queries
from service.workshop.sheets._tables import Published
from service.workshop.sheets.bodies import BulkOut, PackedBrief, ProductPage
from service.workshop.sheets.pages import list_document, look_up_document, unknown_document
from service.workshop.sheets.renderings import KINDS
from service.workshop.stock.queries import lot_by_id

FormName = Literal["json", "html", "csv"]


@dataclass(frozen=True, slots=True)
class Face:
    """A form as it leaves, under the number it is really of."""

    number: str
    form: FormName
    media: str
    body: bytes


def face(session: ReadSession, typed: str, form: FormName, *, address: str) -> Face:
    """What is shown for a number. Raises UnknownLot, MistypedLot, naming published lots only."""
    if (row := queries.find(session, typed)) is not None:
        found = queries.served(session, row, form, address=address)
        return Face(row.number, form, KINDS[form].media, found)
    if jars := queries.filled_from(session, typed):
        return _bulk(session, jars, form, address=address)
    raise queries.unknown(session, typed)


def _bulk(session: ReadSession, jars: list[Published], form: FormName, *, address: str) -> Face:
    number = queries.bulk_number(session, jars[0])
    sizes = {row.number: size(lot_by_id(session, row.lot).nominal_ul or 0) for row in jars}
    if form == "json":
        packed = [
            PackedBrief(
                lot=row.number,
                product=row.product,
                net=sizes[row.number],
                url=f"{address}/l/{row.number}",
            )
            for row in jars
        ]
        body = json.dumps(BulkOut(lot=number, packed=packed).model_dump()).encode()
        return Face(number, form, KINDS[form].media, body)
    rows = [(row.number, sizes[row.number], f"/l/{row.number}") for row in jars]
    document = list_document(f"Lot {number}", "The jars that were filled from it", rows)
    return Face(number, form, KINDS[form].media, _set(document, form))


def _set(document: Document, form: FormName) -> bytes:
    return html.render(document) if form == "html" else csv.render(document)


def form() -> bytes:
    """The look-up form."""
    return html.render(look_up_document())


def not_found(missing: Refused) -> bytes:
    """A friendly page for a number that cannot be shown."""
    return html.render(unknown_document(missing.detail, missing.more["did_you_mean"]))


def no_product(missing: Refused) -> bytes:
    """A friendly page for a product of which nothing is on sale."""
    return html.render(unknown_document(missing.detail, (), title="Not on sale here"))


def product(shown: ProductPage) -> bytes:
    """The page of a product: its newest lot in each pack."""
    rows = [
        (pack.latest, pack.net, f"/l/{pack.latest}")
        for pack in shown.packs
        if pack.latest is not None
    ]
    return html.render(list_document(shown.name, "The newest lot in each size", rows))
