"""What is read of labels: drafts with their trace, frozen revisions and their counts."""

from typing import Any

from sqlmodel import col, select

from service.errors import Remedy, at
from service.office.documents import queries as documents
from service.office.documents.queries import Document
from service.office.workshop_card.bodies import Language, Market
from service.office.workshop_card.queries import card
from service.store.lists import Ask, Listing, Page, page
from service.store.records import corrected_by, entry, standing
from service.store.session import ReadSession
from service.workshop.labels._tables import Labelling
from service.workshop.labels.bodies import LabellingOut, LabelOut
from service.workshop.labels.elements import Face
from service.workshop.labels.rules import (
    AID,
    LabelNotFrozen,
    MarketMissing,
    NotPacked,
    differences,
    smallest,
)
from service.workshop.lots import queries as lots
from service.workshop.products import queries as products
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot

LABELLINGS = Listing("labellings", Labelling, sorts=("happened_at",), default_sort="happened_at")
MARKETS: tuple[Market, ...] = ("eu", "gb", "us")


def check_packed(lot: Lot) -> None:
    """Raises NotPacked."""
    if lot.kind != "packed" or lot.product is None or lot.pack is None:
        raise NotPacked(f"{lot.number} is a {lot.kind} lot; it is not sold by the jar.")


def packed(session: ReadSession, number: str) -> Lot:
    """A packed lot. Raises UnknownLot, MistypedLot, NotPacked."""
    lot = stock.lot(session, number)
    check_packed(lot)
    return lot


def market_for(session: ReadSession, lot: Lot, wanted: Market | None) -> Market:
    """The market asked for, else the product's or the workshop's first. Raises MarketMissing."""
    product = products.product(session, lot.product or "")
    named: tuple[str, ...] = (*product.markets, *card(session).markets)
    known = wanted or (named[0] if named else None)
    for market in MARKETS:
        if market == known:
            return market
    wrong = "No market was sent, and neither the product nor the workshop names one."
    ways = tuple(Remedy(f"it is sold in {name}", {"market": name}) for name in MARKETS)
    hint = "Send market, or set markets by PATCH /v1/workshop."
    raise MarketMissing(wrong, at("#/market", wrong, "market-missing", hint=hint, remedies=ways))


def language_for(session: ReadSession, wanted: Language | None) -> str:
    """The language asked for, else the workshop's first."""
    return wanted or card(session).languages[0]


def content(session: ReadSession, lot: Lot, market: Market, language: str) -> dict[str, Any]:
    """What would be frozen now: the print, why, and what is still undecided."""
    check_packed(lot)
    product = products.product(session, lot.product or "")
    face = Face(session, lot, lots.bulk_of(session, lot), product, language)
    printed = face.printed()
    label, pictogram, letters = smallest(lot.nominal_ul or 0)
    return {
        "lot": lot.number,
        "pack": lot.pack,
        "market": market,
        "language": language,
        "undecided": [gap.model_dump() for gap in face.undecided],
        "print": printed.model_dump(mode="json"),
        "smallest": {"label": label, "pictogram": pictogram, "letters": letters},
        "why": face.why,
        "notes": {},
        "aid": AID,
        "checked": None,
    }


def draft(session: ReadSession, lot: Lot, market: Market, language: str) -> LabelOut:
    """The label as it would be frozen now. Raises NotPacked."""
    drawn = content(session, lot, market, language)
    before = frozen_for(session, lot.number, market, language)
    differs = print_differences(drawn, documents.content(before)) if before else []
    return LabelOut(
        **drawn,
        draft=True,
        revision=None,
        sha256=None,
        frozen=numbers(session, lot.number),
        differs_from_frozen=differs,
    )


def print_differences(now: dict[str, Any], held: dict[str, Any]) -> list[str]:
    """The printed elements in which a frozen label differs from what would be frozen now."""
    return differences(now["print"], held["print"])


def numbers(session: ReadSession, lot_number: str) -> list[int]:
    """The numbers of all frozen revisions of a lot's label."""
    return documents.revisions(session, "label", lot_number)


def frozen(session: ReadSession, lot_number: str) -> list[Document]:
    """All frozen revisions of a lot's label, the oldest first."""
    found = numbers(session, lot_number)
    return [documents.revision(session, "label", lot_number, number) for number in found]


def frozen_for(
    session: ReadSession, lot_number: str, market: str, language: str
) -> Document | None:
    """The newest frozen revision for a market and a language."""
    for row in reversed(frozen(session, lot_number)):
        held = documents.content(row)
        if (held["market"], held["language"]) == (market, language):
            return row
    return None


def revision(session: ReadSession, lot_number: str, number: int | None) -> Document:
    """A frozen revision, the newest for None. Raises LabelNotFrozen, naming the call."""
    rows = frozen(session, lot_number)
    chosen = [row for row in rows if number in (None, row.revision)]
    if chosen:
        return chosen[-1]
    call = f"POST /v1/lots/{lot_number}/labels freezes one."
    which = "No label" if number is None else f"No label revision {number}"
    wrong = f"{which} of {lot_number} is frozen. {call}"
    ways = tuple(Remedy(f"it was revision {r.revision}", {"revision": r.revision}) for r in rows)
    faults = at("#/revision", wrong, "label-not-frozen", hint=call, remedies=ways)
    raise LabelNotFrozen(wrong, faults)


def shown(session: ReadSession, row: Document) -> LabelOut:
    """A frozen revision as it was frozen."""
    return LabelOut(
        **documents.content(row),
        draft=False,
        revision=row.revision,
        sha256=row.sha256,
        frozen=numbers(session, row.subject),
        differs_from_frozen=[],
    )


def counted(session: ReadSession, lot: Lot) -> Document | None:
    """The frozen revision of the print run that was stuck on last."""
    runs = [run for run in labellings(session, lot) if run.used]
    return session.get(Document, runs[-1].document) if runs else None


def labellings(session: ReadSession, lot: Lot) -> list[Labelling]:
    """The standing counts of a lot's labels, the oldest first."""
    wanted = select(Labelling).where(Labelling.lot == lot.row_id, standing(Labelling))
    return list(session.exec(wanted.order_by(col(Labelling.id))))


def labelling(session: ReadSession, lot: Lot, number: int) -> Labelling:
    """A count of a lot's labels by its number. Raises UnknownEntry."""
    return entry(session, Labelling, number, col(Labelling.lot) == lot.row_id)


def labelling_page(session: ReadSession, ask: Ask, lot: Lot) -> Page[Labelling]:
    """One page of the counts of a lot's labels, also of those that were corrected."""
    return page(session, LABELLINGS, ask, where=(Labelling.lot == lot.row_id,))


def shown_labelling(session: ReadSession, row: Labelling) -> LabellingOut:
    drawn = stock.lot_by_id(session, row.label_lot).number if row.label_lot else None
    number = stock.lot_by_id(session, row.lot).number
    document = next(one for one in frozen(session, number) if one.id == row.document)
    later = corrected_by(session, row)
    return LabellingOut(
        entry=row.row_id,
        lot=number,
        revision=document.revision,
        printed=row.printed,
        used=row.used,
        spoiled=row.spoiled,
        label_lot=drawn,
        by=row.by,
        happened_at=row.happened_at,
        entered_at=row.entered_at,
        corrects=row.corrects,
        corrected_by=None if later is None else later.row_id,
        void=row.void,
        reason=row.reason,
    )
