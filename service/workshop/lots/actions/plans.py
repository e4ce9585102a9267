"""A fill with everything chosen, before anything is moved."""

from dataclasses import dataclass
from decimal import Decimal

from service.errors import Invalid, Remedy, at
from service.office.workshop_card.queries import today
from service.science.net_contents import mass_of_nominal
from service.store.session import WriteSession
from service.web.amounts import mass
from service.workshop.deviations.bodies import Flag
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
from service.workshop.products.queries import Pack, Product
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot
from service.workshop.stock.rules import DEAD, StockShort, blocked


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


def choose(session: WriteSession, bulk: Lot, wanted: FillIn, *, by: str | None) -> Plan:
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


def check_open(session: WriteSession, plan: Plan, wanted: FillIn) -> list[Flag]:
    """Packaging that is in quarantine, rejected or expired is not filled into. With a reason and a
    key with the scope release it is, and flagged; raises Invalid."""
    may = "release" in session.actor.scopes
    flags = []
    for lot, field in ((plan.container, "container_lot"), (plan.closure, "closure_lot")):
        why = lot and blocked(lot, today(session))
        if lot is None or why is None:
            continue
        fit = lot.quality not in DEAD
        if may and fit and wanted.override_reason is not None:
            flags.append(Flag(code="lot-overridden", text=f"{lot.number} is taken though {why}."))
            continue
        wrong = f"{lot.number} ({lot.material}) is not filled into: {why}."
        ways = other_lots(session, lot.material, field=field, count=plan.count, but=lot)
        if may and fit:
            reason = {"override_reason": "Looked at, and fit for use."}
            ways = (*ways, Remedy("it may be used all the same", reason))
        raise Invalid(wrong, at(f"#/{field}", wrong, "lot-not-open", remedies=ways))
    return flags


def check_left(session: WriteSession, plan: Plan, wanted: FillIn) -> None:
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
