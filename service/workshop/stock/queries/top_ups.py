"""Top-ups as they are shown, with exact shares."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from sqlalchemy import ColumnElement, or_
from sqlmodel import col, select

from service.science.rounding import plain, round_half_even
from service.store.lists import Ask, Listing, Page, page
from service.store.records import corrections_of
from service.store.session import ReadSession
from service.web.fields import Amount
from service.web.footnotes import Footnotes
from service.workshop.materials import queries as materials
from service.workshop.stock._tables import Lot, TopUp, TopUpPart
from service.workshop.stock.bodies import PartOut, TopUpOut
from service.workshop.stock.queries.ledger import held
from service.workshop.stock.queries.lots import lots_by_id

TOP_UPS = Listing(
    "top-ups",
    TopUp,
    sorts=("happened_at", "id"),
    default_sort="-happened_at",
    times=("happened_at",),
)
_PERCENT = Decimal("0.0001")


def top_up_page(session: ReadSession, ask: Ask, lot: Lot) -> Page[TopUp]:
    """One page of the top-ups that made a lot, or that it went into."""
    return page(session, TOP_UPS, ask, where=(concerns(lot),))


def concerns(lot: Lot) -> ColumnElement[bool]:
    """Whether a top-up made a lot, or had it poured in: it is listed and corrected there."""
    poured = select(TopUpPart.top_up).where(TopUpPart.lot == lot.row_id)
    return or_(col(TopUp.made) == lot.row_id, col(TopUp.id).in_(poured))


def parts_of(session: ReadSession, rows: Iterable[TopUp]) -> dict[int, list[TopUpPart]]:
    """What was poured together, the heel first, by top-up; in one query."""
    found: dict[int, list[TopUpPart]] = {row.row_id: [] for row in rows}
    wanted = select(TopUpPart).where(col(TopUpPart.top_up).in_(found))
    for part in session.exec(wanted.order_by(col(TopUpPart.position))):
        found[part.top_up].append(part)
    return found


def shares(amounts: Sequence[int]) -> list[Fraction]:
    """The exact share of each amount in all of them; they sum to one."""
    return [Fraction(amount, sum(amounts)) for amount in amounts]


def shown_top_ups(session: ReadSession, rows: Sequence[TopUp]) -> dict[int, TopUpOut]:
    """Top-ups by key as they are shown."""
    parts = parts_of(session, rows)
    keys = {part.lot for each in parts.values() for part in each}
    lots = lots_by_id(session, keys | {key for row in rows for key in (row.heel, row.made)})
    later = corrections_of(session, rows)
    return {
        row.row_id: _shown(session, row, parts[row.row_id], lots, later.get(row.row_id))
        for row in rows
    }


def _shown(
    session: ReadSession,
    row: TopUp,
    parts: Sequence[TopUpPart],
    lots: Mapping[int, Lot],
    corrected_by: int | None,
) -> TopUpOut:
    made, notes = lots[row.made], Footnotes()
    figures = [materials.figure_numbered(session, number) for number in row.figures]
    return TopUpOut(
        entry=row.row_id,
        lot=made.number,
        material=made.material,
        heel=lots[row.heel].number,
        amount=held(made, sum(part.amount for part in parts)),
        parts=_shown_parts(parts, lots),
        quality=made.quality,
        made_on=made.made_on,
        expires_on=made.expires_on,
        retest_on=made.retest_on,
        ready_on=made.ready_on,
        figures=materials.shown_figures(figures, notes),
        by=row.by,
        happened_at=row.happened_at,
        entered_at=row.entered_at,
        notes=notes.as_json(),
        corrects=row.corrects,
        corrected_by=corrected_by,
        void=row.void,
        reason=row.reason,
    )


def _shown_parts(parts: Sequence[TopUpPart], lots: Mapping[int, Lot]) -> list[PartOut]:
    found = []
    for part, share in zip(parts, shares([part.amount for part in parts]), strict=True):
        lot = lots[part.lot]
        percent = plain(round_half_even(share * 100, _PERCENT))
        found.append(
            PartOut.model_validate(
                {
                    "lot": lot.number,
                    "material": lot.material,
                    "quality": lot.quality,
                    "what": part.what,
                    "on_ledger": part.booked_back is None,
                    "amount": held(lot, part.amount),
                    "share": f"{share.numerator}/{share.denominator}",
                    "percent": Amount(value=percent, unit="%"),
                    "movement": f"M-{part.movement}",
                }
            )
        )
    return found
