"""Which lot a weighing came from, where the page does not say."""

from typing import Any

from service.errors import Invalid, Remedy, at
from service.workshop.batches._tables import BatchLine
from service.workshop.batches.actions.entries.desk import Desk, Place
from service.workshop.stock import queries as stock

MOST_OFFERED = 5


def find_lot(
    desk: Desk, line: BatchLine | None, material: str, named: str | None, place: Place
) -> tuple[stock.Lot, dict[str, Any]]:
    """The lot named, else the only one of the plan, else the only open one of the material.

    Raises Invalid, with the lots to choose from.
    """
    session = desk.session
    if named is not None:
        return stock.lot_in_body(session, named, pointer=place.of("lot")), {}
    planned = line.lots if line is not None and line.material == material else ()
    open_ones = [found.lot.number for found in stock.open_lots(session, material)]
    candidates = list(planned) or open_ones
    if len(candidates) == 1:
        lot = stock.lot(session, candidates[0])
        return lot, {"lot": lot.number}
    raise _which(material, candidates or _closed(desk, material), place)


def _closed(desk: Desk, material: str) -> list[str]:
    """Lots that nobody should have drawn from, and perhaps did."""
    kinds = ("made", "received")
    lots = [lot for kind in kinds for lot in stock.lots_of_material(desk.session, material, kind)]
    return [lot.number for lot in lots]


def _which(material: str, candidates: list[str], place: Place) -> Invalid:
    offered = candidates[:MOST_OFFERED]
    remedies = tuple(
        Remedy(f"it came from {number}", place.wrap({"lot": number})) for number in offered
    )
    wrong = f"It is not said from which lot of {material} this came."
    hint = f"Send one of {', '.join(offered)}." if offered else _BOOK_IN.format(material)
    return Invalid(wrong, at(place.of("lot"), wrong, "lot-needed", hint=hint, remedies=remedies))


_BOOK_IN = "No lot of {} is here: book it in with POST /v1/receipts, or name its number."


def refuse_impossible(desk: Desk, lot: stock.Lot, place: Place) -> None:
    """Raises Invalid for a lot kept by count, and for what came out of this very batch."""
    if lot.measure == "count":
        wrong = f"{lot.number} is kept by count and cannot be weighed in."
        raise Invalid(wrong, at(place.of("lot"), wrong, "lot-counted"))
    if lot.number == desk.batch.code:
        wrong = f"{lot.number} came out of this batch and cannot have gone into it."
        hint = "What was cooked again is a batch of its own."
        raise Invalid(wrong, at(place.of("lot"), wrong, "lot-of-this-batch", hint=hint))
