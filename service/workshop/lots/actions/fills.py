"""Filling a bulk lot: the packed lot, what it took, and the check of its contents."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import insert

from service.office.audit.actions import note
from service.office.people.queries import doer
from service.office.workshop_card.queries import today
from service.science.rounding import plain
from service.store.session import WriteSession
from service.web.amounts import mass
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.lots._tables import Fill, FillWeight
from service.workshop.lots.actions.plans import Plan, check_left, check_open, choose
from service.workshop.lots.bodies import FillIn
from service.workshop.lots.rules import (
    NEAR_REFERENCE_K,
    REFERENCE_C,
    Check,
    NotBulk,
    check,
    expires_on,
)
from service.workshop.panels.actions.days import day_stamp
from service.workshop.stock import queries as stock
from service.workshop.stock.actions import Move, NewLot, lettered_number, link, make_lot, move
from service.workshop.stock.queries import Lot
from service.workshop.stock.rules import blocked, earliest

_DEAD = frozenset({"rejected", "recalled"})


@dataclass(frozen=True, slots=True)
class Filled:
    """What a fill made, and what was assumed."""

    fill: Fill
    bulk: Lot
    packed: Lot
    flags: list[Flag]
    assumed: dict[str, Any]
    summary: str


def record_fill(session: WriteSession, number: str, wanted: FillIn) -> Filled:
    """Raises UnknownLot, MistypedLot, NotBulk, DensityNeeded, StockShort."""
    bulk = _bulk(session, number)
    by = doer(session, wanted.by)
    entry = day_stamp(session, by=by, on=wanted.on)
    plan = choose(session, bulk, wanted, by=by)
    flags = check_open(session, plan, wanted)
    check_left(session, plan, wanted)
    packed = _packed(session, plan, wanted)
    flags += _take(session, plan, packed, wanted=wanted, entry=entry)
    found = check(
        plan.pack.nominal_ul, plan.nets_mg, count=plan.count, density_kg_l=plan.density.kg_l
    )
    fill = _write(session, plan, packed, verdict=found.verdict, entry=entry)
    facts = [*off_plan(plan, found), *early(plan, wanted.on)]
    facts += expired(plan, wanted.on or today(session))
    flags += [open_deviation(session, Fact("lot", packed.number, *fact), by=by) for fact in facts]
    flags += off_reference(plan)
    return Filled(
        fill, bulk, packed, flags, _assumed(session, plan, wanted, by), _said(plan, packed, found)
    )


def _bulk(session: WriteSession, number: str) -> Lot:
    lot = stock.lot(session, number)
    if lot.kind != "made" or lot.measure != "mass":
        raise NotBulk(f"{lot.number} is a {lot.kind} lot, kept by {lot.measure}.")
    return lot


def _packed(session: WriteSession, plan: Plan, wanted: FillIn) -> Lot:
    number = lettered_number(session, plan.bulk, wanted.on or today(session))
    return make_lot(
        session,
        NewLot(
            number=number,
            kind="packed",
            material=plan.bulk.material,
            amount_in=plan.count,
            quality="quarantine",
            product=plan.product.code,
            pack=plan.pack.pack,
            container=plan.pack.container,
            nominal_ul=plan.pack.nominal_ul,
            made_on=plan.bulk.made_on,
            expires_on=earliest(
                expires_on(plan.bulk.made_on, plan.product.shelf_months), plan.bulk.expires_on
            ),
        ),
    )


def _take(
    session: WriteSession, plan: Plan, packed: Lot, *, wanted: FillIn, entry: dict[str, Any]
) -> list[Flag]:
    """The lines of the ledger and the edges of origin."""
    taken = [(plan.bulk, plan.filled_mg), (plan.container, plan.count)]
    if plan.closure is not None:
        taken.append((plan.closure, plan.count))
    moves = [(lot, -amount) for lot, amount in taken] + [(packed, plan.count)]
    flags = []
    left = stock.left(session, [lot.row_id for lot, _ in moves])
    for lot, amount in moves:
        line = Move(
            amount=amount,
            cause="fill",
            cause_ref=packed.number,
            by=entry["by"],
            happened_at=entry["happened_at"],
            override_reason=_reason(session, lot, wanted, left[lot.row_id] + amount),
            about_seconds=entry.get("about_seconds"),
        )
        flags.append(move(session, lot, line, plan=True))
    for lot, amount in taken:
        link(session, lot, packed, amount)
    return [flag for flag in flags if flag is not None]


def _reason(session: WriteSession, lot: Lot, wanted: FillIn, after: int) -> str | None:
    """Why the lot was taken all the same, where it was short or not open."""
    not_open = lot.kind == "received" and blocked(lot, today(session))
    return wanted.override_reason if after < 0 or not_open else None


def _write(
    session: WriteSession, plan: Plan, packed: Lot, *, verdict: str, entry: dict[str, Any]
) -> Fill:
    row = Fill(
        lot=packed.row_id,
        bulk=plan.bulk.row_id,
        pack=plan.pack.pack,
        container_lot=plan.container.row_id,
        closure_lot=plan.closure.row_id if plan.closure else None,
        count=plan.count,
        tare_mg=plan.tare_mg,
        nominal_mg=plan.nominal_mg,
        filled_mg=plan.filled_mg,
        density=plan.density.kg_l,
        density_from=plan.density.figure,
        verdict=verdict,
        **entry,
    )
    session.add(row)
    session.flush()  # its weights point at it
    write_weights(session, row, plan.gross_mg, lot=packed.number)
    return row


def write_weights(session: WriteSession, row: Fill, gross_mg: tuple[int, ...], *, lot: str) -> None:
    """One insert and one note for all packs, which may be a thousand."""
    if not gross_mg:
        return
    weights = [
        {"fill": row.row_id, "position": place, "gross_mg": gross}
        for place, gross in enumerate(gross_mg, 1)
    ]
    session.execute(insert(FillWeight), weights)
    after = {"rows": len(weights), "gross_mg": list(gross_mg)}
    note(session, "made", kind="fill_weights", subject=lot, before=None, after=after)


def off_plan(plan: Plan, found: Check) -> list[tuple[str, str]]:
    """Facts outside the plan, by code; each is a deviation of the packed lot."""
    facts = []
    if found.verdict == "fail":
        facts.append(("fill-short", f"The check of the fill fails: {found.why}."))
    if found.verdict == "not-checked":
        facts.append(("fill-not-checked", f"The fill was not checked: {found.why}."))
    if plan.bulk.quality in _DEAD:
        text = f"Filled from {plan.bulk.number}, which is {plan.bulk.quality}."
        facts.append(("filled-from-blocked-lot", text))
    return facts


def early(plan: Plan, on: date | None) -> list[tuple[str, str]]:
    made = plan.bulk.made_on
    if on is None or made is None or on >= made:
        return []
    return [("filled-before-made", f"Filled on {on}; {plan.bulk.number} was made on {made}.")]


def expired(plan: Plan, on: date) -> list[tuple[str, str]]:
    until = plan.bulk.expires_on
    if until is None or on <= until:
        return []
    return [("filled-from-expired-lot", f"{plan.bulk.number} expired on {until}.")]


def off_reference(plan: Plan) -> list[Flag]:
    """Net contents are volumes at 20 °C; a density of another temperature is pointed out."""
    at = plan.density.temperature_c
    if at is None or abs(at - REFERENCE_C) <= NEAR_REFERENCE_K:
        return []
    text = f"The density was measured at {plain(at)} °C; net contents are volumes at 20 °C."
    return [Flag(code="density-not-at-20", text=text)]


def _assumed(session: WriteSession, plan: Plan, wanted: FillIn, by: str | None) -> dict[str, Any]:
    tare = mass(plan.tare_mg or None)
    found: dict[str, Any] = {
        "product": plan.product.code,
        "count": plan.count,
        "tare": f"{tare.value} {tare.unit}" if tare else None,
        "container_lot": plan.container.number,
        "closure_lot": plan.closure.number if plan.closure else None,
        "density": plan.density.figure,
        "on": today(session).isoformat(),
        "by": by,
    }
    assumed = {
        name: value
        for name, value in found.items()
        if value is not None and getattr(wanted, name) is None
    }
    if len(plan.gross_mg) < plan.count:
        assumed["not_weighed"] = "taken as nominally full"
    return assumed


def _said(plan: Plan, packed: Lot, found: Check) -> str:
    packs = f"{plan.count} of {plan.pack.pack}"
    return f"{packs} filled from {plan.bulk.number} into {packed.number}; fill {found.verdict}."
