"""Stock takes, their lines and their counts, as rows and as they are shown."""

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import datetime

from sqlalchemy import func
from sqlmodel import col, select

from service.office.attachments.queries import attached
from service.office.workshop_card.queries import today
from service.science.rounding import plain
from service.store.lists import Listing
from service.store.records import standing
from service.store.session import ReadSession
from service.web.fields import Amount
from service.workshop.materials import queries as materials
from service.workshop.shelf import rules
from service.workshop.shelf._tables import Count, StockTake, StockTakeLine, StockTakePage
from service.workshop.shelf.bodies.takes import (
    CountOut,
    CountsToSend,
    TakeLineOut,
    TakeOut,
    TakePageOut,
    TakeSheetLine,
    TakeSheetOut,
    TakeShown,
)
from service.workshop.stock import queries as stock

TAKES = Listing(
    "stock-takes",
    StockTake,
    sorts=("number", "created_at"),
    default_sort="-number",
    times=("created_at",),
)


def take(session: ReadSession, number: str) -> StockTake:
    """Raises UnknownStockTake."""
    wanted = number.strip().upper()
    row = session.exec(select(StockTake).where(StockTake.number == wanted)).first()
    if row is None:
        raise rules.UnknownStockTake(f"There is no stock take {number[:20]!r}.")
    return row


def lines(session: ReadSession, row: StockTake) -> list[StockTakeLine]:
    """The lines of a stock take by number, those that were found last."""
    found = select(StockTakeLine).where(StockTakeLine.take == row.row_id)
    return list(session.exec(found.order_by(col(StockTakeLine.line))))


def counts(session: ReadSession, row: StockTake) -> dict[int, Count]:
    """By line the standing count that was made last."""
    found = (
        select(Count)
        .where(Count.take == row.row_id, standing(Count))
        .order_by(col(Count.happened_at), col(Count.id))
    )
    return {count.line: count for count in session.exec(found)}


def counted_later(session: ReadSession, count: Count) -> Count | None:
    """A standing count of the same lot that goes by this one's difference: entered after it, and
    made no earlier; of any stock take."""
    found = select(Count).where(
        Count.lot == count.lot,
        col(Count.id) > count.row_id,
        col(Count.happened_at) >= count.happened_at,
        standing(Count),
    )
    return session.exec(found.order_by(col(Count.id)).limit(1)).first()


def last_after(session: ReadSession, lot: stock.Lot, at: datetime) -> tuple[Count, str] | None:
    """The last standing count of a lot made after an instant, and its stock take."""
    found = (
        select(Count, StockTake.number)
        .join(StockTake, col(StockTake.id) == col(Count.take))
        .where(Count.lot == lot.row_id, col(Count.happened_at) > at, standing(Count))
        .order_by(col(Count.happened_at).desc(), col(Count.id).desc())
    )
    return session.exec(found.limit(1)).first()


def next_page(session: ReadSession, row: StockTake) -> int:
    """The number that the next page will bear."""
    found = select(func.max(StockTakePage.page)).where(StockTakePage.take == row.row_id)
    return (session.exec(found).first() or 0) + 1


def page_of_digest(session: ReadSession, row: StockTake, digest: str) -> StockTakePage | None:
    """A page that was sent with exactly this body."""
    found = select(StockTakePage).where(
        StockTakePage.take == row.row_id, StockTakePage.digest == digest
    )
    return session.exec(found).first()


def told(session: ReadSession, lots: Iterable[int]) -> dict[int, list[rules.Told]]:
    """The whole ledgers of lots by key, in one query."""
    found: dict[int, list[rules.Told]] = {lot: [] for lot in lots}
    rows = session.exec(select(stock.Movement).where(col(stock.Movement.lot).in_(found)))
    for row in rows:
        brings = row.amount > 0 and row.cause in rules.BRINGING
        sure = brings or row.cause in rules.SURE
        line = rules.Told(row.amount, row.happened_at, row.about_seconds or 0, brings, sure)
        found[row.lot].append(line)
    return found


def shown(session: ReadSession, rows: Sequence[StockTake]) -> dict[int, TakeOut]:
    """Stock takes by key, with three queries for all of them."""
    ids = [row.row_id for row in rows]
    listed, pages = (_tally(session, kind, ids) for kind in (StockTakeLine, StockTakePage))
    counted: dict[int, dict[int, Count]] = {key: {} for key in ids}
    found = (
        select(Count)
        .where(col(Count.take).in_(ids), standing(Count))
        .order_by(col(Count.happened_at), col(Count.id))
    )
    for count in session.exec(found):
        counted[count.take][count.line] = count
    return {
        row.row_id: TakeOut(
            take=row.number,
            covers=row.covers,
            remark=row.remark,
            by=row.by,
            created_at=row.created_at,
            lines=listed[row.row_id],
            counted=len(counted[row.row_id]),
            differing=sum(one.counted != one.ledger for one in counted[row.row_id].values()),
            pages=pages[row.row_id],
        )
        for row in rows
    }


def _tally(
    session: ReadSession, kind: type[StockTakeLine] | type[StockTakePage], ids: Sequence[int]
) -> Counter[int]:
    return Counter(session.exec(select(kind.take).where(col(kind.take).in_(ids))))


def shown_whole(session: ReadSession, row: StockTake) -> TakeShown:
    """A stock take with its lines and pages."""
    listed, counted = lines(session, row), counts(session, row)
    lots = stock.lots_by_id(session, [line.lot for line in listed])
    names = materials.names(session, [lot.material for lot in lots.values()])
    pages = select(StockTakePage).where(StockTakePage.take == row.row_id)
    entered = list(session.exec(pages.order_by(col(StockTakePage.page))))
    as_counted = shown_counts(session, list(counted.values()))
    return TakeShown(
        **shown(session, [row])[row.row_id].model_dump(),
        rows=[
            TakeLineOut(
                line=line.line,
                lot=lots[line.lot].number,
                material=lots[line.lot].material,
                name=names[lots[line.lot].material],
                found=line.found,
                count=as_counted[counted[line.line].row_id] if line.line in counted else None,
            )
            for line in listed
        ],
        entered=[
            TakePageOut(
                page=page.page,
                counted_at=page.counted_at,
                by=page.by,
                entered_at=page.entered_at,
                photo=attached(session, page.photo),
            )
            for page in entered
        ],
    )


def shown_counts(session: ReadSession, rows: Sequence[Count]) -> dict[int, CountOut]:
    """Counts by key, beside what their ledgers say by now of the same time."""
    ledgers = told(session, {row.lot for row in rows})
    lots = stock.lots_by_id(session, [row.lot for row in rows])
    pages = session.exec(
        select(StockTakePage).where(col(StockTakePage.id).in_({row.page for row in rows}))
    )
    numbers = {page.row_id: page.page for page in pages}
    return {
        row.row_id: _shown(row, lots[row.lot], ledgers[row.lot], page=numbers[row.page])
        for row in rows
    }


def _shown(row: Count, lot: stock.Lot, ledger: Sequence[rules.Told], *, page: int) -> CountOut:
    late = rules.ledger_at(ledger, row.happened_at) - row.counted
    about = None if row.about_seconds is None else f"PT{row.about_seconds // 60}M"
    density = None if row.density is None else Amount(value=plain(row.density), unit="kg/l")
    return CountOut(
        entry=row.row_id,
        counted=stock.held(lot, row.counted),
        entered=Amount(value=row.entered_value, unit=row.entered_unit),
        density=density,
        counted_at=row.happened_at,
        about=about,
        by=row.by,
        page=page,
        ledger=stock.held(lot, row.ledger),
        difference=stock.held(lot, row.counted - row.ledger),
        movement=None if row.movement is None else f"M-{row.movement}",
        late=stock.held(lot, late) if late else None,
        concluded=list(row.concluded),
        remark=row.remark,
        corrects=row.corrects,
        reason=row.reason,
    )


def sheet(session: ReadSession, row: StockTake) -> TakeSheetOut:
    """The sheet to count by; it ends with the body to send back, its lines still null."""
    listed, counted = lines(session, row), counts(session, row)
    lots = stock.lots_by_id(session, [line.lot for line in listed])
    names = materials.names(session, [lot.material for lot in lots.values()])
    return TakeSheetOut(
        take=row.number,
        covers=row.covers,
        remark=row.remark,
        sheet=next_page(session, row),
        lines=[
            _sheet_line(line.line, lots[line.lot], names, counted.get(line.line)) for line in listed
        ],
        page_to_send=CountsToSend(
            counted_on=today(session),
            lines={str(line.line): None for line in listed if line.line not in counted},
            found=[],
        ),
    )


def _sheet_line(
    number: int, lot: stock.Lot, names: dict[str, str], counted: Count | None
) -> TakeSheetLine:
    return TakeSheetLine(
        line=number,
        lot=lot.number,
        material=lot.material,
        name=names[lot.material],
        kind=lot.kind,
        quality=lot.quality,
        expires_on=lot.expires_on,
        in_="pcs" if lot.measure == "count" else "g",
        counted=None if counted is None else stock.held(lot, counted.counted),
    )


def take_by_id(session: ReadSession, take_id: int) -> StockTake:
    """The stock take of a key that another row holds."""
    return session.get_one(StockTake, take_id)
