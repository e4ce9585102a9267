"""What was seen of lots in their vessels, and how that stands against the ledger."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta

from sqlalchemy import func
from sqlmodel import col, select

from service.office.keys.queries import sees_costs
from service.office.workshop_card.queries import zone
from service.store.lists import Ask, Listing, Page, page
from service.store.records import corrections_of, standing
from service.store.session import ReadSession
from service.workshop.stock._tables import LifeEntry, Lot, Movement, Vessel
from service.workshop.stock.bodies import LifeNow, LifeOut, VesselOut, VesselsNow
from service.workshop.stock.queries.files import named_files
from service.workshop.stock.queries.ledger import held

LIFE = Listing(
    "lot-life",
    LifeEntry,
    sorts=("happened_at", "id"),
    default_sort="-happened_at",
    times=("happened_at",),
)


def life_page(session: ReadSession, ask: Ask, lot: Lot) -> Page[LifeEntry]:
    """One page of the entries of a lot."""
    return page(session, LIFE, ask, where=(LifeEntry.lot == lot.row_id,))


def vessels_of(session: ReadSession, entries: Iterable[LifeEntry]) -> dict[int, list[Vessel]]:
    """The vessels that entries tell of, by entry, in one query."""
    wanted = [row.row_id for row in entries]
    rows = session.exec(
        select(Vessel).where(col(Vessel.entry).in_(wanted)).order_by(col(Vessel.position))
    )
    found: dict[int, list[Vessel]] = {}
    for row in rows:
        found.setdefault(row.entry, []).append(row)
    return found


def opened_on(session: ReadSession, ids: Iterable[int]) -> dict[int, date]:
    """By lot the day on which a vessel of it was first opened, in one query."""
    rows = session.exec(
        select(LifeEntry.lot, func.min(LifeEntry.happened_at))
        .where(col(LifeEntry.lot).in_(set(ids)), col(LifeEntry.opened), standing(LifeEntry))
        .group_by(col(LifeEntry.lot))
    )
    here = zone(session)
    return {lot: at.astimezone(here).date() for lot, at in rows}


def ledger_at(ledger: Sequence[Movement], at: datetime) -> int:
    """What a ledger came to at an instant; a line whose time is only about known counts from the
    earliest it may have been."""
    return sum(
        row.amount
        for row in ledger
        if row.happened_at - timedelta(seconds=row.about_seconds or 0) <= at
    )


def shown_life(session: ReadSession, lot: Lot, rows: Sequence[LifeEntry]) -> dict[int, LifeOut]:
    """Entries of a lot by key as they are shown, with a few queries for all of them."""
    vessels = vessels_of(session, rows)
    later = corrections_of(session, rows)
    skins = _skins(session, rows)
    files = named_files(session, [name for row in rows for name in (row.photo, row.certificate)])
    costs = sees_costs(session)
    return {
        row.row_id: LifeOut(
            entry=row.row_id,
            lot=lot.number,
            opened=row.opened,
            saw=row.saw,
            skin_removed=held(lot, -skins[row.skin]) if row.skin else None,
            movement=f"M-{row.skin}" if row.skin else None,
            vessels=_shown_vessels(lot, vessels.get(row.row_id)),
            photo=files[row.photo] if row.photo else None,
            certificate=files[row.certificate] if row.certificate and costs else None,
            by=row.by,
            happened_at=row.happened_at,
            entered_at=row.entered_at,
            corrects=row.corrects,
            corrected_by=later.get(row.row_id),
            void=row.void,
            reason=row.reason,
        )
        for row in rows
    }


def _skins(session: ReadSession, rows: Iterable[LifeEntry]) -> dict[int, int]:
    wanted = [row.skin for row in rows if row.skin is not None]
    found = session.exec(select(Movement).where(col(Movement.id).in_(wanted)))
    return {row.row_id: row.amount for row in found}


def _shown_vessels(lot: Lot, rows: Sequence[Vessel] | None) -> list[VesselOut] | None:
    if not rows:
        return None
    return [
        VesselOut(vessel=row.vessel, equipment=row.equipment, amount=held(lot, row.amount))
        for row in rows
    ]


def life_now(session: ReadSession, lot: Lot, ledger: Sequence[Movement]) -> LifeNow:
    """A lot as its standing entries tell of it, against its whole ledger."""
    rows = session.exec(
        select(LifeEntry)
        .where(LifeEntry.lot == lot.row_id, standing(LifeEntry))
        .order_by(col(LifeEntry.happened_at), col(LifeEntry.id))
    ).all()
    seen = next((row for row in reversed(rows) if row.saw is not None), None)
    skins = _skins(session, rows)
    return LifeNow(
        opened_on=opened_on(session, [lot.row_id]).get(lot.row_id),
        saw=seen.saw if seen else None,
        saw_at=seen.happened_at if seen else None,
        skin_removed=held(lot, -sum(skins.values())),
        vessels=_vessels_now(lot, rows, vessels_of(session, rows), ledger),
    )


def _vessels_now(
    lot: Lot,
    rows: Sequence[LifeEntry],
    vessels: dict[int, list[Vessel]],
    ledger: Sequence[Movement],
) -> VesselsNow | None:
    said = next((row for row in reversed(rows) if row.row_id in vessels), None)
    if said is None:
        return None
    inside = vessels[said.row_id]
    together = sum(row.amount for row in inside)
    then = ledger_at(ledger, said.happened_at)
    return VesselsNow(
        at=said.happened_at,
        vessels=_shown_vessels(lot, inside) or [],
        together=held(lot, together),
        ledger=held(lot, then),
        differs_by=held(lot, together - then),
        moved_since=held(lot, sum(row.amount for row in ledger) - then),
    )
