"""What runs short, as it is listed; and what to order or to make."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from sqlmodel import col, select

from service.office.keys.queries import sees_costs
from service.office.workshop_card.queries import card, today
from service.science.rounding import round_half_even
from service.store.lists import Ask, Listing, Page, page
from service.store.session import ReadSession
from service.web.amounts import mass
from service.web.fields import Amount
from service.workshop.materials import queries as materials
from service.workshop.materials.bodies import Kind
from service.workshop.materials.ordering import shown_ordering
from service.workshop.shelf.bodies.shortages import (
    CoverOut,
    OrderListOut,
    OrderOut,
    ShortageOut,
)
from service.workshop.shelf.queries.positions import Cover, Shelf, Standing
from service.workshop.stock import queries as stock
from service.workshop.stock.bodies import Held, money

SHORTAGES = Listing(
    "shortages",
    materials.Material,
    sorts=("code", "name"),
    default_sort="code",
    filters={"kind": Kind},
)
_CENT = Decimal("0.01")


def shortage_page(
    session: ReadSession, ask: Ask, found: Shelf, states: Sequence[str]
) -> Page[materials.Material]:
    """One page of the materials that stand so."""
    codes = [code for code, one in found.standings.items() if one.state in states]
    return page(session, SHORTAGES, ask, where=[col(materials.Material.code).in_(codes)])


def shown(session: ReadSession, one: Standing) -> ShortageOut:
    """How a material stands, in words and amounts."""
    return ShortageOut(
        material=one.material.code,
        name=one.material.name,
        kind=one.material.kind,
        state=one.state,
        why=_why(one),
        left=_held(one, one.left),
        blocked=_held(one, one.blocked),
        reserved=_held(one, one.reserved),
        free=_held(one, one.free),
        coming=_held(one, one.coming),
        cover=[_cover(each) for each in one.cover],
        undecided=list(one.undecided),
        order=shown_ordering(one.material, costs=sees_costs(session)),
        needed_on=one.needed_on,
        order_by=one.order_by,
    )


def _held(one: Standing, amount: int) -> Held:
    return amount if one.counted else mass(amount) or amount


def _cover(one: Cover) -> CoverOut:
    return CoverOut(
        recipe=one.usage.recipe,
        version=one.usage.version,
        each=mass(one.each) or one.each,
        makes=mass(one.usage.makes_mg) or one.usage.makes_mg,
        batches=one.batches,
        wanted=one.wanted,
        basis=one.usage.basis,
        how=one.usage.how,
    )


def _why(one: Standing) -> str:
    """What makes it short or low, else how far it goes."""
    there, are = one.free + one.coming, "are" if one.counted else "is"
    if there < 0:
        return f"{_said(one, -there)} more {are} needed by batches under way than {are} free."
    order_at = one.material.order_at
    if order_at is not None and there < order_at:
        return f"{_said(one, there)} {are} free; it is ordered below {_said(one, order_at)}."
    if not one.cover:
        return f"{_said(one, there)} {are} free."
    least = one.cover[0]
    of = f"{least.usage.recipe}, version {least.usage.version}"
    return f"It makes {least.batches} of {of}, {least.usage.how}; {least.wanted} is wanted."


def _said(one: Standing, amount: int) -> str:
    held = _held(one, amount)
    return f"{held} pieces" if isinstance(held, int) else f"{held.value} {held.unit}"


def order_list(session: ReadSession, found: Shelf) -> OrderListOut:
    """What brings all that is short or low back to where it should be."""
    wanted = [one for one in found.standings.values() if one.state != "enough" and one.missing]
    codes = [one.material.code for one in wanted]
    costs = sees_costs(session)
    last = _last_suppliers(session, codes) if costs else {}
    prices = stock.latest_prices(session, codes) if costs else {}
    rows = [
        _order(session, one, made_by=found.made_by.get(one.material.code), last=last, prices=prices)
        for one in wanted
    ]
    first = sorted(rows, key=lambda row: (row.supplier or "", row.order_by or date.max))
    return OrderListOut(
        on=today(session),
        orders=[row for row in first if row.made_by is None],
        to_make=[row for row in first if row.made_by is not None],
    )


def _order(
    session: ReadSession,
    one: Standing,
    *,
    made_by: str | None,
    last: Mapping[str, str],
    prices: Mapping[str, stock.UnitPrice | None],
) -> OrderOut:
    code, costs = one.material.code, sees_costs(session)
    own = one.material.order_from if costs else None
    supplier = None if made_by else own or last.get(code)
    said = None if supplier is None else "material" if own else "last receipt"
    price = None if made_by else prices.get(code)
    return OrderOut(
        material=code,
        name=one.material.name,
        amount=_held(one, one.missing),
        state=one.state,
        why=_why(one),
        supplier=supplier,
        supplier_from=said,
        lead_days=one.material.lead_days,
        needed_on=one.needed_on,
        order_by=one.order_by,
        estimate=_estimate(session, price, one.missing),
        made_by=made_by,
    )


def _estimate(session: ReadSession, price: stock.UnitPrice | None, amount: int) -> Amount | None:
    if price is None:
        return None
    return money(round_half_even(price.per * amount, _CENT), card(session).currency)


def _last_suppliers(session: ReadSession, codes: Sequence[str]) -> dict[str, str]:
    """By material who supplied the newest lot that came."""
    rows = session.exec(
        select(stock.Lot)
        .where(col(stock.Lot.material).in_(codes), col(stock.Lot.supplier).is_not(None))
        .order_by(col(stock.Lot.id))
    )
    return {row.material: row.supplier for row in rows if row.supplier is not None}
