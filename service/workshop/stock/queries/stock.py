"""What is on the shelf, and what it is worth."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from sqlalchemy import func
from sqlmodel import select

from service.office.workshop_card.queries import card
from service.science.rounding import round_half_even
from service.store.lists import Ask, Listing, Page, page
from service.store.session import ReadSession
from service.web.fields import Amount
from service.workshop.materials import queries as materials
from service.workshop.stock._tables import Lot, Movement
from service.workshop.stock.bodies import LotKind, Quality, StockOut, money
from service.workshop.stock.queries.ledger import held, left
from service.workshop.stock.queries.lots import sees_costs
from service.workshop.stock.queries.prices import unit_prices

STOCK = Listing(
    "stock",
    Lot,
    sorts=("number", "material", "created_at"),
    default_sort="material",
    filters={"material": str, "kind": LotKind, "quality": Quality},
)
_CENT, _FINE = Decimal("0.01"), Decimal("0.0001")


def stock_page(session: ReadSession, ask: Ask) -> Page[Lot]:
    """One page of the lots whose ledger is not at nothing; one below nothing is shown too."""
    balance = select(func.sum(Movement.amount)).where(Movement.lot == Lot.id).scalar_subquery()
    return page(session, STOCK, ask, where=[func.coalesce(balance, 0) != 0])


def shown_stock(
    session: ReadSession, rows: Sequence[Lot], reserved: Mapping[int, int]
) -> dict[int, StockOut]:
    """Lots by key with what is left, and what of it is reserved; what it is worth only for who may
    see costs."""
    remains = left(session, [row.row_id for row in rows])
    names = materials.names(session, [row.material for row in rows])
    prices = unit_prices(session, rows) if sees_costs(session) else {}
    currency = card(session).currency
    return {
        row.row_id: StockOut(
            lot=row.number,
            material=row.material,
            name=names[row.material],
            kind=row.kind,
            quality=row.quality,
            left=held(row, remains[row.row_id]),
            reserved=held(row, reserved.get(row.row_id, 0)),
            free=held(row, remains[row.row_id] - reserved.get(row.row_id, 0)),
            unit_cost=_unit_cost(row, prices.get(row.row_id), currency),
            value=_value(prices.get(row.row_id), remains[row.row_id], currency),
            cost_basis=_cost_basis(row, prices.get(row.row_id)),
            expires_on=row.expires_on,
            retest_on=row.retest_on,
        )
        for row in rows
    }


def _unit_cost(lot: Lot, per: Fraction | None, currency: str | None) -> Amount | None:
    if per is None or currency is None:
        return None
    piece = lot.measure == "count"
    rounded = round_half_even(per if piece else per * 1_000_000, _FINE)
    return money(rounded, f"{currency}/{'pcs' if piece else 'kg'}")


def _value(per: Fraction | None, amount: int, currency: str | None) -> Amount | None:
    return None if per is None else money(round_half_even(per * amount, _CENT), currency)


def _cost_basis(lot: Lot, per: Fraction | None) -> str | None:
    if per is None:
        return None
    return "receipt" if lot.price is not None else "origins"
