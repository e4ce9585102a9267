"""What is wrong with published sheets: where they lead, and forms that tell something else."""

import json
from collections.abc import Iterator

from sqlmodel import col, select

from service.office.documents import queries as documents
from service.science.check_characters import compact
from service.store.session import ReadSession
from service.workshop.lots.queries import bulk_of
from service.workshop.sheets._tables import Published
from service.workshop.sheets.queries import latest
from service.workshop.sheets.renderings import KINDS, in_order
from service.workshop.sheets.rules import absolute
from service.workshop.stock.queries import lot_by_id


def faults(session: ReadSession) -> Iterator[str]:
    for row in session.exec(select(Published).order_by(col(Published.id))):
        lot = lot_by_id(session, row.lot)
        found = (lot.number, compact(lot.number), compact(bulk_of(session, lot).number))
        if (row.number, row.compact, row.bulk) != found:
            yield f"The sheet of {lot.number} is found as {row.number}, from {row.bulk}."
        document = latest(session, row.number)
        if document is None or document.row_id != row.document:
            yield f"The newest sheet of {row.number} is not the one that is shown."
            continue
        for form in KINDS:
            if documents.rendering(session, document.row_id, form) is None:
                yield f"The {form} form of the sheet of {row.number} is not there."
        if (stored := documents.rendering(session, document.row_id, "json")) is not None:
            told = {k: v for k, v in json.loads(stored.body).items() if k != "status"}
            if told != absolute(in_order(documents.content(document))):
                yield f"The json form of the sheet of {row.number} is not what was frozen."
