"""What is read of releases: what stands against one, and the acts there were."""

from datetime import date

from service.errors import Refused
from service.office.documents import queries as documents
from service.office.documents.queries import Document
from service.office.workshop_card.queries import today
from service.store.lists import Ask, Listing, Page, page
from service.store.session import ReadSession
from service.workshop.batches import queries as batches
from service.workshop.deviations.queries import still_open
from service.workshop.labels import queries as labels
from service.workshop.lots import queries as lots
from service.workshop.release._tables import Act as Act
from service.workshop.release.bodies import ActOut, ObstacleOut, ReadinessOut
from service.workshop.release.rules import Obstacle, OnJar, Standing, obstacles
from service.workshop.sheets import queries as sheets
from service.workshop.stock.queries import Lot, lot_by_id, unmeasured

ACTS = Listing("acts", Act, sorts=("number", "happened_at"), default_sort="happened_at")


def readiness(session: ReadSession, lot: Lot) -> ReadinessOut:
    """What the release of a lot would be refused for, were it asked for with an empty body."""
    found = against(session, lot, label=None, with_bulk=False, waived=False)
    return ReadinessOut(
        lot=lot.number,
        quality=lot.quality,
        ready=not found,
        stands_against=[
            ObstacleOut(code=one.code, detail=one.detail, concluded_by=one.concluded_by)
            for one in found
        ],
    )


def against(
    session: ReadSession, lot: Lot, *, label: Document | None, with_bulk: bool, waived: bool
) -> list[Obstacle]:
    """Everything that stands against a release now."""
    bulk = lots.bulk_of(session, lot)
    open_ones = still_open(session, *{lot.number, bulk.number})
    deviations = [(one.number, one.subject, one.text) for one in open_ones]
    standing = Standing(
        lot=lot.number,
        quality=lot.quality,
        reopened=_reopened(session, lot),
        bulk=bulk.number,
        bulk_quality=bulk.quality,
        filled=lots.fill_of(session, lot) is not None,
        deviations=deviations,
        unmeasured=unmeasured(session, lot),
        ripens=_ripens(session, lot, bulk),
        label=_label(session, lot, label) if lot.kind == "packed" else None,
    )
    return obstacles(standing, with_bulk=with_bulk, waived=waived)


def _ripens(session: ReadSession, lot: Lot, bulk: Lot) -> list[tuple[str, date, str | None]]:
    """The lot, or the bulk it was filled from, where its day is still to come."""
    day = today(session)
    found: list[tuple[str, date, str | None]] = []
    for one in {lot.number: lot, bulk.number: bulk}.values():
        if one.ready_on is not None and day < one.ready_on:
            made = batches.made_by(session, one.number)
            call = None if made is None else f"POST /v1/batches/{made.code}/stages"
            found.append((one.number, one.ready_on, call))
    return found


def _reopened(session: ReadSession, lot: Lot) -> bool:
    """Whether the published sheet no longer says what is known, so that a new revision is due."""
    row = sheets.find(session, lot.number)
    document = sheets.latest(session, lot.number)
    if row is None or document is None:
        return False
    if sheets.status(session, row, document).state == "correction":
        return True
    return bool(sheets.draft(session, lot).differs_from_frozen)


def label_on_jar(session: ReadSession, lot: Lot) -> Document | None:
    """The label that was stuck on last, by the counts; before any, the newest frozen."""
    return labels.counted(session, lot) or documents.latest(session, "label", lot.number)


def _label(session: ReadSession, lot: Lot, chosen: Document | None) -> OnJar:
    """The label on the jar beside what a draft for the same market would say now."""
    row = chosen or label_on_jar(session, lot)
    if row is None:
        return OnJar(gaps=_gaps(session, lot))
    held = documents.content(row)
    now = labels.content(session, lot, held["market"], held["language"])
    return OnJar(row.revision, held["undecided"], labels.print_differences(now, held))


def _gaps(session: ReadSession, lot: Lot) -> list[dict[str, str]]:
    """What a label frozen now would lack; a market nobody named is such a gap too."""
    language = labels.language_for(session, None)
    try:
        market = labels.market_for(session, lot, None)
    except Refused as missing:
        return [{"detail": missing.detail, "concluded_by": "PATCH /v1/workshop"}]
    gaps: list[dict[str, str]] = labels.content(session, lot, market, language)["undecided"]
    return gaps


def act_page(session: ReadSession, ask: Ask, lot: Lot) -> Page[Act]:
    """One page of the acts on a lot."""
    return page(session, ACTS, ask, where=(Act.lot == lot.row_id,))


def shown(session: ReadSession, row: Act) -> ActOut:
    lot = lot_by_id(session, row.lot)
    label = _revision(session, row.label)
    sheet = _revision(session, row.sheet)
    return ActOut(
        act=row.number,
        lot=lot.number,
        what=row.act,
        quality=lot.quality,
        condition=row.condition,
        waiver=row.waiver,
        retest_on=row.retest_on,
        reason=row.reason,
        label=label,
        sheet=f"/l/{lot.number}" if sheet else None,
        sheet_revision=sheet,
        by=row.by,
        happened_at=row.happened_at,
    )


def _revision(session: ReadSession, document: int | None) -> int | None:
    row = session.get(Document, document) if document else None
    return row.revision if row else None
