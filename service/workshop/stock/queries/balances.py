"""Balances of materials: what there is of each, by what may be done with it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from sqlalchemy import exists, func
from sqlmodel import col, select

from service.office.keys.queries import sees_costs
from service.office.workshop_card.queries import card, today
from service.science.rounding import round_half_even
from service.store.lists import Ask, Listing, Page, page
from service.store.session import ReadSession
from service.workshop.materials.bodies import Family, Kind
from service.workshop.materials.queries import Material
from service.workshop.stock._tables import Lot, Movement
from service.workshop.stock.bodies import BalanceOut, MaterialStock, money
from service.workshop.stock.queries.ledger import held
from service.workshop.stock.queries.prices import unit_prices
from service.workshop.stock.rules import earliest, standing_of

BALANCES = Listing(
    "stock-materials",
    Material,
    sorts=("code", "name"),
    default_sort="code",
    filters={"kind": Kind, "family": Family},
)
_CENT = Decimal("0.01")
_STANDINGS = ("open", "quarantine", "expired", "rejected", "below_zero")


@dataclass
class Balance:
    """Lots that are kept alike, with what is left of each; amounts in mg or pieces."""

    held: list[tuple[Lot, int]] = field(default_factory=list)
    sums: dict[str, int] = field(default_factory=dict)
    next_expiry: date | None = None

    @property
    def left(self) -> int:
        return sum(amount for _, amount in self.held)

    def add(self, lot: Lot, amount: int, on: date) -> None:
        keeps_until = earliest(lot.expires_on, lot.retest_on)
        where = standing_of(lot.quality, keeps_until, on=on, amount=amount)
        self.held.append((lot, amount))
        self.sums[where] = self.sums.get(where, 0) + amount
        if where == "open" and lot.expires_on is not None:
            self.next_expiry = min(self.next_expiry or lot.expires_on, lot.expires_on)


Kept = tuple[str, str | None]  # measure, pack


def balance_page(session: ReadSession, ask: Ask) -> Page[Material]:
    """One page of the materials of which there ever was a lot."""
    had = exists(select(Lot.id).where(col(Lot.material) == col(Material.code)))
    return page(session, BALANCES, ask, where=(had,))


def balances_of(session: ReadSession, codes: Iterable[str]) -> dict[str, dict[Kept, Balance]]:
    """By material what there is of it, by how it is kept; in one query. A lot at nothing counts
    for nothing."""
    found: dict[str, dict[Kept, Balance]] = {code: {} for code in codes}
    total = func.sum(Movement.amount)
    rows = session.exec(
        select(Lot, total)
        .join(Movement, col(Movement.lot) == col(Lot.id))
        .where(col(Lot.material).in_(found))
        .group_by(col(Lot.id))
        .having(total != 0)
        .order_by(col(Lot.id))
    )
    day = today(session)
    for lot, amount in rows:
        kept = found[lot.material].setdefault((lot.measure, lot.pack), Balance())
        kept.add(lot, int(amount), day)  # PostgreSQL sums big integers as numeric
    return found


def shown_balances(session: ReadSession, rows: Sequence[Material]) -> dict[str, MaterialStock]:
    """Materials by code with what there is of them; the value only for who may see costs."""
    found = balances_of(session, [row.code for row in rows])
    lots = [lot for kept in found.values() for each in kept.values() for lot, _ in each.held]
    prices = unit_prices(session, lots) if sees_costs(session) else None
    currency = card(session).currency
    return {
        row.code: MaterialStock(
            material=row.code,
            name=row.name,
            kind=row.kind,
            balances=[
                _shown(each, kept, prices, currency) for kept, each in found[row.code].items()
            ],
        )
        for row in rows
    }


def _shown(
    balance: Balance,
    kept: Kept,
    prices: Mapping[int, Fraction | None] | None,
    currency: str | None,
) -> BalanceOut:
    one, _ = balance.held[0]
    known = _priced(balance, prices or {})
    value = sum((per * amount for per, amount in known), Fraction(0))
    shown = None if prices is None else money(round_half_even(value, _CENT), currency)
    return BalanceOut.model_validate(
        {
            "kept": kept[0],
            "pack": kept[1],
            "left": held(one, balance.left),
            **{name: held(one, balance.sums.get(name, 0)) for name in _STANDINGS},
            "lots": len(balance.held),
            "next_expiry": balance.next_expiry,
            "value": shown,
            "at_least": prices is not None and len(known) < len(balance.held),
        }
    )


def _priced(balance: Balance, prices: Mapping[int, Fraction | None]) -> list[tuple[Fraction, int]]:
    """Price and amount of each lot that has a price."""
    found = [(prices.get(lot.row_id), amount) for lot, amount in balance.held]
    return [(per, amount) for per, amount in found if per is not None]
