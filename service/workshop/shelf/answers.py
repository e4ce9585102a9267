"""What is answered to pages and corrections of a stock take."""

from service.store.session import ReadSession
from service.workshop.shelf._tables import Count
from service.workshop.shelf.actions.corrections import Corrected
from service.workshop.shelf.actions.counting import Page
from service.workshop.shelf.bodies.counts import (
    CountCorrected,
    CountCorrection,
    CountMade,
    CountsIn,
    CountsMade,
)
from service.workshop.shelf.queries import takes as queries
from service.workshop.stock import queries as stock


def page(session: ReadSession, found: Page, wanted: CountsIn) -> CountsMade:
    counts = found.counts
    shown = queries.shown_counts(session, counts)
    lots = stock.lots_by_id(session, [count.lot for count in counts])
    left = stock.left(session, lots)
    whole = queries.shown(session, [found.take])[found.take.row_id]
    return CountsMade(
        take=found.take.number,
        page=found.row.page,
        counted_at=found.row.counted_at,
        lines=[
            CountMade(
                line=count.line,
                lot=lots[count.lot].number,
                material=lots[count.lot].material,
                count=shown[count.row_id],
                left=stock.held(lots[count.lot], left[count.lot]),
            )
            for count in counts
        ],
        not_counted=whole.lines - whole.counted,
        concluded=[number for count in counts for number in count.concluded],
        flags=found.flags,
        assumed=_assumed(found, wanted),
        summary=_summary(counts, whole.lines - whole.counted),
    )


def _assumed(found: Page, wanted: CountsIn) -> dict[str, str]:
    assumed: dict[str, str] = {}
    if wanted.counted_at is None:
        assumed["counted_at"] = found.row.counted_at.strftime("%Y-%m-%dT%H:%M:%SZ")
    if wanted.by is None and found.by is not None:
        assumed["by"] = found.by
    return assumed


def _summary(counts: list[Count], rest: int) -> str:
    other = sum(count.counted != count.ledger for count in counts)
    lots = f"{len(counts)} lot{'' if len(counts) == 1 else 's'} counted"
    return f"{lots}, {other} other than the ledger said; {rest} still to count."


def corrected(session: ReadSession, found: Corrected, wanted: CountCorrection) -> CountCorrected:
    lot, row = found.lot, found.row
    count = None if row.void else queries.shown_counts(session, [row])[row.row_id]
    left = stock.left(session, [lot.row_id])[lot.row_id]
    was = stock.said(lot, found.old.counted)
    now = "voided" if row.void else f"now {stock.said(lot, row.counted)}"
    return CountCorrected(
        take=found.page.take.number,
        line=row.line,
        lot=lot.number,
        entry=row.row_id,
        corrects=found.old.row_id,
        count=count,
        left=stock.held(lot, left),
        reopened=found.reopened,
        flags=found.page.flags,
        assumed={} if wanted.by or found.page.by is None else {"by": found.page.by},
        summary=f"Line {row.line} of {found.page.take.number}: {was}, {now}.",
    )
