"""Top-ups: one call makes a lot of several, with each of its origins and its shares."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.people.queries import doer
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.materials.queries import Material
from service.workshop.stock import queries, rules
from service.workshop.stock._tables import Lot, TopUp, TopUpPart
from service.workshop.stock.actions.blended_figures import blend_figures
from service.workshop.stock.actions.ledger import Move, enter
from service.workshop.stock.actions.lots import NewLot, link, make_lot, number_for
from service.workshop.stock.actions.mixing import (
    Part,
    check_day,
    check_each_once,
    check_plan,
    day_of,
    follows,
    material_of,
    parts_named,
    weighed,
)
from service.workshop.stock.actions.receipts import why_taken
from service.workshop.stock.actions.times import check_past
from service.workshop.stock.bodies import NotCarried, TopUpIn


@dataclass
class ToppedUp:
    """A top-up as it was kept, with what is to be told of it."""

    row: TopUp
    made: Lot
    flags: list[Flag] = field(default_factory=list)
    not_carried: list[NotCarried] = field(default_factory=list)
    assumed: dict[str, Any] = field(default_factory=dict)


def top_up(session: WriteSession, heel: Lot, wanted: TopUpIn) -> ToppedUp:
    """Pour lots onto what is left of one: all of it, or nothing.

    Raises Invalid, DensityNeeded, StockShort, LotTaken, NumbersUsedUp.
    """
    check_past(session, wanted.happened_at)
    parts = [_heel(session, heel, wanted), *parts_named(session, wanted.with_, "#/with")]
    check_each_once(parts)
    material = material_of(session, parts, wanted.material)
    day = day_of(session, wanted.happened_at)
    if not wanted.poured:
        check_plan(session, parts, day, wanted)
    by = doer(session, wanted.by)
    made = _make(session, material, parts, wanted)
    entry = stamp(session, by=by, happened_at=wanted.happened_at)
    done = keep(session, heel, made, parts, entry)
    done.assumed = {**_assumed(parts, wanted, made), **done.assumed}
    if wanted.by is None and by is not None:
        done.assumed["by"] = by
    return done


def _heel(session: WriteSession, lot: Lot, wanted: TopUpIn) -> Part:
    """What was left of the lot. Raises Invalid, DensityNeeded."""
    part = Part(lot, 0, wanted.heel_what, wanted.heel_on_ledger, "#/heel")
    if wanted.heel is not None or lot.measure == "count":
        entered = wanted.heel or wanted.with_[0].amount
        return weighed(session, part, entered, "#/heel")
    left = queries.left(session, [lot.row_id])[lot.row_id]
    if left <= 0 or not wanted.heel_on_ledger:
        wrong = f"The ledger of {lot.number} stands at {queries.said(lot, left)}."
        hint = 'Say how much of it was there: "heel": "1.2 kg".'
        raise Invalid(wrong, at("#/heel", wrong, "heel-needed", hint=hint))
    return Part(lot, left, wanted.heel_what, wanted.heel_on_ledger, "#/heel")


def _make(session: WriteSession, material: Material, parts: Sequence[Part], wanted: TopUpIn) -> Lot:
    found = follows(material, [part.lot for part in parts])
    day = day_of(session, wanted.happened_at)
    expires_on = check_day("expires_on", wanted.expires_on, found.expires_on)
    retest_on = check_day("retest_on", wanted.retest_on, found.retest_on)
    number = _own_number(session, wanted) or number_for(session, material.lot_prefix, day)
    new = NewLot(
        number=number,
        kind="made",
        material=material.code,
        amount_in=sum(part.amount for part in parts),
        quality=found.quality,
        product=found.product,
        made_on=day,
        expires_on=expires_on,
        retest_on=retest_on,
        ready_on=found.ready_on,
    )
    lot = make_lot(session, new)
    lot.condition = found.condition
    return lot


def _own_number(session: WriteSession, wanted: TopUpIn) -> str | None:
    """Raises Invalid where it is mistyped, LotTaken."""
    if (number := wanted.lot) is None:
        return None
    if (right := rules.mended(number)) is not None:
        wrong = f"{number} cannot be right: its last character does not fit the others."
        remedies = (Remedy(f"only the last character is wrong: {right}", {"lot": right}),)
        raise Invalid(wrong, at("#/lot", wrong, "lot-mistyped", remedies=remedies))
    if taken := why_taken(session, number):
        remedies = (Remedy("the next free number will do", {"lot": None}),)
        raise rules.LotTaken(taken, at("#/lot", taken, "lot-taken", remedies=remedies))
    return number


def keep(
    session: WriteSession, heel: Lot, made: Lot, parts: Sequence[Part], entry: dict[str, Any]
) -> ToppedUp:
    """Write a top-up with its lines of the ledger, its origins and its figures; by now it is a
    fact, so that what is out of order is flagged and opens a deviation."""
    flags: list[Flag] = []
    by, happened_at = entry["by"], entry["happened_at"]
    rows = []
    for place, part in enumerate(parts):
        drawn, flag = _draw(session, part, made, position=place, entry=entry)
        rows.append(drawn)
        flags += [flag] if flag else []
        link(session, part.lot, made, part.amount)
    total = sum(part.amount for part in parts)
    line, _ = enter(session, made, Move(total, "top-up", made.number, by, happened_at), plan=False)
    row = TopUp(heel=heel.row_id, made=made.row_id, movement=line.row_id, **entry)
    session.add(row)
    session.flush()  # its parts point at it
    for each in rows:
        each.top_up = row.row_id
        session.add(each)
    numbers, unknown = blend_figures(session, made, parts, row)
    row.figures = tuple(numbers)
    session.add(row)
    session.flush()  # the answer reads it back
    flags += _unfit(session, made, parts, row)
    densities = {part.lot.number: part.said for part in parts if part.said}
    return ToppedUp(row, made, flags, unknown, {"density": densities} if densities else {})


def _draw(
    session: WriteSession, part: Part, made: Lot, *, position: int, entry: dict[str, Any]
) -> tuple[TopUpPart, Flag | None]:
    """The lines that take a part out, after one that books it back where it was a loss."""
    back, by, happened_at = None, entry["by"], entry["happened_at"]
    if not part.on_ledger:
        booked = Move(part.amount, "recovered", made.number, by, happened_at)
        back, _ = enter(session, part.lot, booked, plan=False)
    out = Move(
        -part.amount,
        "top-up",
        made.number,
        by,
        happened_at,
        entered=part.entered,
        density=part.density,
    )
    line, flag = enter(session, part.lot, out, plan=False)
    row = TopUpPart(
        top_up=0,
        position=position,
        lot=part.lot.row_id,
        amount=part.amount,
        what=part.what,
        movement=line.row_id,
        booked_back=back.row_id if back else None,
    )
    return row, flag


def _unfit(session: WriteSession, made: Lot, parts: Sequence[Part], row: TopUp) -> list[Flag]:
    """A deviation of the mixture for each part that is not released, or past its days."""
    day = day_of(session, row.happened_at)
    found = []
    for part in parts:
        lot = part.lot
        if lot.quality != "released":
            text = f"{lot.number} is {lot.quality} and went into {made.number}."
            found.append(Fact("lot", made.number, "lot-not-released", text))
        for code, past in rules.past_days(lot, day):
            text = f"{lot.number} {past} and went into {made.number}."
            found.append(Fact("lot", made.number, code, text))
    return [open_deviation(session, fact, by=row.by) for fact in found]


def _assumed(parts: Sequence[Part], wanted: TopUpIn, made: Lot) -> dict[str, Any]:
    heel = parts[0]
    found: dict[str, Any] = {}
    if wanted.heel is None:
        found["heel"] = f"all that was left: {queries.said(heel.lot, heel.amount)}"
    if wanted.material is None:
        found["material"] = made.material
    if wanted.lot is None:
        found["lot"] = made.number
    for name in ("expires_on", "retest_on"):
        if getattr(wanted, name) is None and (day := getattr(made, name)) is not None:
            found[name] = day.isoformat()
    return found
