"""Filling a bulk lot: the packed lot, what it took, and the check of its contents."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sqlalchemy import insert

from service.errors import Invalid, Remedy, at
from service.office.audit.actions import note
from service.office.people.queries import doer
from service.office.workshop_card.queries import today
from service.science.net_contents import mass_of_nominal
from service.store.session import WriteSession
from service.web.amounts import mass
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.lots._tables import Fill, FillWeight
from service.workshop.lots.actions.choices import (
    Density,
    choose_density,
    choose_pack,
    choose_packaging,
    choose_product,
    choose_tare,
    other_lots,
)
from service.workshop.lots.bodies import FillIn
from service.workshop.lots.rules import Check, NotBulk, check, expires_on
from service.workshop.panels.actions.days import day_stamp
from service.workshop.products.queries import Pack, Product
from service.workshop.stock import queries as stock
from service.workshop.stock.actions import Move, NewLot, lettered_number, link, make_lot, move
from service.workshop.stock.queries import Lot
from service.workshop.stock.rules import StockShort

_DEAD = frozenset({"rejected", "recalled"})


@dataclass(frozen=True, slots=True)
class Plan:
    """A fill with everything chosen; masses in mg."""

    bulk: Lot
    product: Product
    pack: Pack
    container: Lot
    closure: Lot | None
    tare_mg: int
    density: Density
    gross_mg: tuple[int, ...]
    count: int

    @property
    def nets_mg(self) -> tuple[int, ...]:
        return tuple(gross - self.tare_mg for gross in self.gross_mg)

    @property
    def nominal_mg(self) -> int:
        litres = Decimal(self.pack.nominal_ul) / 1000
        return int((mass_of_nominal(litres, self.density.kg_l) * 1000).to_integral_value())

    @property
    def filled_mg(self) -> int:
        """What left the bulk: packs that were not weighed are taken as nominally full."""
        return sum(self.nets_mg) + (self.count - len(self.gross_mg)) * self.nominal_mg


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
    plan = _plan(session, bulk, wanted, by=by)
    _check_left(session, plan, wanted)
    packed = _packed(session, plan, wanted)
    flags = _take(session, plan, packed, wanted=wanted, entry=entry)
    found = check(
        plan.pack.nominal_ul, plan.nets_mg, count=plan.count, density_kg_l=plan.density.kg_l
    )
    fill = _write(session, plan, packed, verdict=found.verdict, entry=entry)
    flags += _flag(session, plan, packed, found=found, by=by)
    return Filled(
        fill, bulk, packed, flags, _assumed(session, plan, wanted, by), _said(plan, packed, found)
    )


def _bulk(session: WriteSession, number: str) -> Lot:
    lot = stock.lot(session, number)
    if lot.kind != "made" or lot.measure != "mass":
        raise NotBulk(f"{lot.number} is a {lot.kind} lot, kept by {lot.measure}.")
    return lot


def _plan(session: WriteSession, bulk: Lot, wanted: FillIn, *, by: str | None) -> Plan:
    """Everything that the fill needs, said or chosen. Raises Invalid, DensityNeeded."""
    product = choose_product(session, bulk, wanted)
    pack = choose_pack(session, product, wanted.pack)
    count = wanted.packs
    closure = None
    if pack.closure is not None:
        closure = choose_packaging(
            session, pack.closure, wanted.closure_lot, field="closure_lot", count=count
        )
    plan = Plan(
        bulk=bulk,
        product=product,
        pack=pack,
        container=choose_packaging(
            session, pack.container, wanted.container_lot, field="container_lot", count=count
        ),
        closure=closure,
        tare_mg=choose_tare(session, pack, wanted),
        density=choose_density(session, bulk, wanted, by=by),
        gross_mg=tuple(int((gross * 1000).to_integral_value()) for gross in wanted.gross_g),
        count=count,
    )
    _check_weights(plan)
    return plan


def _check_weights(plan: Plan) -> None:
    """No full pack weighs less than an empty one: a slip of the pen. Raises Invalid."""
    for place, net in enumerate(plan.nets_mg):
        if net <= 0:
            wrong = f"Pack {place + 1} weighs no more than an empty one."
            raise Invalid(wrong, at(f"#/gross_g/{place}", wrong, "lighter-than-empty"))


def _check_left(session: WriteSession, plan: Plan, wanted: FillIn) -> None:
    """What the ledger has must do, unless someone who may says why not. Raises StockShort."""
    may = "release" in session.actor.scopes
    if may and wanted.override_reason is not None:
        return
    taken = [(plan.container, "container_lot"), (plan.closure, "closure_lot")]
    lots = [(lot, field, plan.count) for lot, field in taken if lot is not None]
    left = stock.left(session, [plan.bulk.row_id, *(lot.row_id for lot, _, _ in lots)])
    for lot, field, count in lots:
        if left[lot.row_id] < count:
            others = other_lots(session, lot.material, field=field, count=count, but=lot)
            wrong = f"{count} of {lot.number} ({lot.material}) were taken; {left[lot.row_id]} left."
            raise _short(wrong, f"#/{field}", others, may=may)
    if left[plan.bulk.row_id] < plan.filled_mg:
        filled, held = mass(plan.filled_mg), mass(left[plan.bulk.row_id])
        assert filled is not None
        assert held is not None
        wrong = (
            f"The packs hold {filled.value} {filled.unit}; {held.value} {held.unit} of "
            f"{plan.bulk.number} is left."
        )
        raise _short(wrong, "#/gross_g", (), may=may)


def _short(wrong: str, pointer: str, others: tuple[Remedy, ...], *, may: bool) -> StockShort:
    override = Remedy(
        "it was there, and the ledger is wrong",
        {"override_reason": "More was there than the ledger says."},
        "The ledger goes below zero until stock is taken.",
    )
    hint = None if may else "A key with the scope release may override it with a reason."
    remedies = (*others, override) if may else others
    return StockShort(wrong, at(pointer, wrong, "stock-short", hint=hint, remedies=remedies))


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
            expires_on=expires_on(plan.bulk.made_on, plan.product.shelf_months),
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
            override_reason=wanted.override_reason if left[lot.row_id] + amount < 0 else None,
            about_seconds=entry.get("about_seconds"),
        )
        flags.append(move(session, lot, line, plan=True))
    for lot, amount in taken:
        link(session, lot, packed, amount)
    return [flag for flag in flags if flag is not None]


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
    if plan.gross_mg:
        weights = [
            {"fill": row.row_id, "position": place, "gross_mg": gross}
            for place, gross in enumerate(plan.gross_mg, 1)
        ]
        session.execute(insert(FillWeight), weights)
        kept = list(plan.gross_mg)
        note(
            session,
            "insert",
            kind="fill_weights",
            subject=packed.number,
            before=None,
            after={"gross_mg": kept},
        )
    return row


def _flag(
    session: WriteSession, plan: Plan, packed: Lot, *, found: Check, by: str | None
) -> list[Flag]:
    """Facts outside the plan, each a deviation of the packed lot."""
    facts = []
    if found.verdict == "fail":
        facts.append(("fill-short", f"The check of the fill fails: {found.why}."))
    if found.verdict == "not-checked":
        facts.append(("fill-not-checked", f"The fill was not checked: {found.why}."))
    if plan.bulk.quality in _DEAD:
        text = f"Filled from {plan.bulk.number}, which is {plan.bulk.quality}."
        facts.append(("filled-from-blocked-lot", text))
    return [
        open_deviation(session, Fact("lot", packed.number, code, text), by=by)
        for code, text in facts
    ]


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
