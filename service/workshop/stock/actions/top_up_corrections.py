"""A top-up corrected: its lines taken back, its origins and figures set anew."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import Any

from service.errors import AlreadyCorrected, Invalid, at
from service.office.people.queries import doer
from service.store.records import Amends, amend, check_correctable, entry, stamp
from service.store.session import WriteSession
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.materials import queries as materials
from service.workshop.materials.actions import correct_figure
from service.workshop.materials.bodies import FigureCorrection
from service.workshop.stock import queries
from service.workshop.stock._tables import Lot, TopUp, TopUpPart
from service.workshop.stock.actions.ledger import reverse
from service.workshop.stock.actions.lots import link, set_amount_in, set_quality
from service.workshop.stock.actions.mixing import (
    Part,
    check_each_once,
    follows,
    parts_named,
    weighed,
)
from service.workshop.stock.actions.top_ups import ToppedUp, keep
from service.workshop.stock.bodies import TopUpCorrection, TopUpValues
from service.workshop.stock.rules import earliest


def correct_top_up(
    session: WriteSession, lot: Lot, number: int, wanted: TopUpCorrection
) -> ToppedUp:
    """Raises UnknownEntry, AlreadyCorrected, Invalid, DensityNeeded."""
    old = entry(session, TopUp, number, queries.concerns(lot))
    check_correctable(session, old)
    by = doer(session, wanted.by)
    amends = Amends(wanted.reason, by, void=wanted.void)
    made = queries.lot_by_id(session, old.made)
    before = queries.parts_of(session, [old])[old.row_id]
    parts = [] if wanted.replaces is None else _parts(session, made, before, wanted.replaces)
    _take_back(session, old, before, amends)
    if wanted.replaces is None:
        done = _voided(session, old, before, amends)
    else:
        done = _replaced(session, old, parts, amends)
    if wanted.by is None and by is not None:
        done.assumed["by"] = by
    _flag_short(session, done)
    return done


def _parts(
    session: WriteSession, made: Lot, before: Sequence[TopUpPart], values: TopUpValues
) -> list[Part]:
    """What was poured together as it should have said. Raises Invalid, DensityNeeded."""
    lots = queries.lots_by_id(session, [row.lot for row in before])
    heel, *others = [_as_before(row, lots, "#/replaces") for row in before]
    if values.heel is not None:
        heel = weighed(session, heel, values.heel, "#/replaces/heel")
    if values.with_ is not None:
        others = parts_named(session, values.with_, "#/replaces/with")
    parts = [heel, *others]
    check_each_once(parts)
    _check_no_circle(session, made, parts)
    return parts


def _as_before(row: TopUpPart, lots: Mapping[int, Lot], pointer: str) -> Part:
    return Part(lots[row.lot], row.amount, row.what, row.booked_back is None, pointer)


def _check_no_circle(session: WriteSession, made: Lot, parts: Sequence[Part]) -> None:
    """Raises Invalid for a lot that the mixture is, or went into."""
    steps, _ = queries.walk(session, made.row_id, upward=False)
    later = {made.row_id, *(step.child.row_id for step in steps)}
    for part in parts:
        if part.lot.row_id in later:
            wrong = f"{part.lot.number} came of this top-up and cannot have gone into it."
            raise Invalid(wrong, at(part.pointer, wrong, "lot-of-this-top-up"))


def _take_back(
    session: WriteSession, old: TopUp, before: Sequence[TopUpPart], amends: Amends
) -> None:
    """Every line of the ledger reversed, every origin unlinked, every figure voided."""
    made = queries.lot_by_id(session, old.made)
    lines = [old.movement]
    for row in before:
        lines += [line for line in (row.movement, row.booked_back) if line is not None]
        link(session, queries.lot_by_id(session, row.lot), made, -row.amount)
    for line in lines:
        movement = queries.movement(session, f"M-{line}")
        reverse(session, movement, reason=amends.reason, by=amends.by, last=True)
    for number in old.figures:
        with suppress(AlreadyCorrected):  # someone knew better, and that stands
            void = FigureCorrection(void=True, reason=amends.reason, by=amends.by)
            correct_figure(session, materials.figure_numbered(session, number).number, void)


def _voided(
    session: WriteSession, old: TopUp, before: Sequence[TopUpPart], amends: Amends
) -> ToppedUp:
    """The same entry again, marked as void; nothing came of it."""
    made = queries.lot_by_id(session, old.made)
    set_amount_in(session, made, 0)
    row = amend(session, old, amends)
    for part in before:
        session.add(TopUpPart(**{**part.model_dump(exclude={"id"}), "top_up": row.row_id}))
    session.flush()  # the answer reads them back
    return ToppedUp(row, made)


def _replaced(session: WriteSession, old: TopUp, parts: Sequence[Part], amends: Amends) -> ToppedUp:
    """The entry that takes its place; what follows for the mixture is worked out anew."""
    made, heel = queries.lot_by_id(session, old.made), queries.lot_by_id(session, old.heel)
    set_amount_in(session, made, sum(part.amount for part in parts))
    found = follows(materials.material(session, made.material), [part.lot for part in parts])
    for name in ("expires_on", "retest_on"):
        setattr(made, name, earliest(getattr(found, name), getattr(made, name)))
    made.ready_on = found.ready_on
    if found.quality == "quarantine" and made.quality == "released":
        set_quality(session, made, "quarantine")
    marks: dict[str, Any] = {
        **stamp(session, by=amends.by, happened_at=old.happened_at),
        "corrects": old.row_id,
        "reason": amends.reason,
    }
    return keep(session, heel, made, parts, marks)


def _flag_short(session: WriteSession, done: ToppedUp) -> None:
    """A mixture of which more was drawn than there now was is flagged."""
    made = done.made
    left = queries.left(session, [made.row_id])[made.row_id]
    if left < 0:
        text = f"The ledger of {made.number} stands at {queries.said(made, left)} after this."
        fact = Fact("lot", made.number, "stock-negative", text)
        done.flags.append(open_deviation(session, fact, by=done.row.by))
