"""Checks of the place where packs are filled and labelled."""

from service.office.people.queries import doer
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.lots.checks.bodies import PlaceCheckCorrection, PlaceCheckIn
from service.workshop.lots.checks.corrections import changed, correctable, corrected
from service.workshop.lots.checks.queries import PlaceCheck
from service.workshop.stock.actions.times import check_past
from service.workshop.stock.queries import Lot


def record_place_check(
    session: WriteSession, lot: Lot, wanted: PlaceCheckIn
) -> tuple[PlaceCheck, list[Flag]]:
    """A place that was not clear is kept as it was found, and opens a deviation.

    Raises Invalid for a time that is still to come.
    """
    check_past(session, wanted.happened_at)
    row = PlaceCheck(
        lot=lot.row_id,
        place=wanted.place,
        moment=wanted.moment,
        clear=wanted.clear,
        text=wanted.text,
        **stamp(session, by=doer(session, wanted.by), happened_at=wanted.happened_at),
    )
    session.add(row)
    session.flush()  # the answer shows its key
    return row, _flags(session, lot, row)


def correct_place_check(
    session: WriteSession, lot: Lot, number: int, wanted: PlaceCheckCorrection
) -> tuple[PlaceCheck, list[Flag]]:
    """Raises UnknownEntry, AlreadyCorrected, ScopeNeeded."""
    old = correctable(session, PlaceCheck, lot, number)
    row = corrected(session, old, wanted, changed(wanted))
    return row, _flags(session, lot, row) if old.clear else []


def _flags(session: WriteSession, lot: Lot, row: PlaceCheck) -> list[Flag]:
    if row.clear or row.void:
        return []
    found = f": {row.text}" if row.text else "."
    where = "filling and labelling" if row.place == "both" else row.place
    text = f"The place of {where} was not clear {row.moment} the work{found}"
    fact = Fact("lot", lot.number, "place-not-clear", text[:600])
    return [open_deviation(session, fact, by=row.by)]
