"""What is read of fills: which bulk a packed lot came from, and what its packs weighed."""

from collections.abc import Sequence
from decimal import Decimal

from sqlmodel import col, select

from service.office.workshop_card.queries import zone
from service.science.rounding import plain
from service.store.records import standing
from service.store.session import ReadSession
from service.web.amounts import litres, mass
from service.web.fields import Amount, Figure
from service.web.footnotes import Footnotes
from service.workshop.lots._tables import Fill as Fill
from service.workshop.lots._tables import FillWeight as FillWeight
from service.workshop.lots.bodies import CheckOut, FillOut, LotFills, WeightOut
from service.workshop.lots.rules import RULE, Check, check
from service.workshop.materials.queries import figure_numbered, shown_figures
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot


def fill_of(session: ReadSession, packed: Lot) -> Fill | None:
    """The fill that made a packed lot, as it stands; None for a bulk, for a lot that came back,
    and where the fill was voided."""
    return session.exec(select(Fill).where(Fill.lot == packed.id, standing(Fill))).first()


def fills_from(session: ReadSession, bulk: Lot) -> list[Fill]:
    """The standing fills of a bulk lot, by the packed lots that they made."""
    found = select(Fill).where(Fill.bulk == bulk.id, standing(Fill))
    return list(session.exec(found.order_by(col(Fill.lot))))


def packed_from(session: ReadSession, bulk: Lot) -> list[Lot]:
    """The packed lots that were filled from a bulk lot, the oldest first."""
    fills = fills_from(session, bulk)
    lots = stock.lots_by_id(session, [fill.lot for fill in fills])
    return [lots[fill.lot] for fill in fills]


def bulk_of(session: ReadSession, packed: Lot) -> Lot:
    """The bulk lot that is in the packs; itself for a bulk.

    A lot that came back from a customer leads to the packed lot that was sent.
    """
    lot = packed
    while lot.kind == "packed":
        if (fill := fill_of(session, lot)) is not None:
            return stock.lot_by_id(session, fill.bulk)
        parents = [parent for parent, _ in stock.parents(session, lot.row_id)]
        inside = next((parent for parent in parents if parent.material == lot.material), None)
        if inside is None:
            return lot
        lot = inside
    return lot


def weights_of(session: ReadSession, fill: Fill) -> list[FillWeight]:
    """What the packs of a fill weighed, in the order in which they were put on the balance."""
    wanted = select(FillWeight).where(FillWeight.fill == fill.id)
    return list(session.exec(wanted.order_by(col(FillWeight.position))))


def check_of(session: ReadSession, fill: Fill, packed: Lot) -> Check:
    """The check of a fill from its weights."""
    nets = [weight.gross_mg - fill.tare_mg for weight in weights_of(session, fill)]
    return check(packed.nominal_ul or 0, nets, count=fill.count, density_kg_l=fill.density)


def shown_fills(session: ReadSession, lot: Lot) -> LotFills:
    """The fills of a bulk lot; of a packed lot its own, with what each pack weighed."""
    if lot.kind == "packed":
        own = fill_of(session, lot)
        shown = [shown_fill(session, own, weights=True)] if own else []
    else:
        shown = [shown_fill(session, fill, weights=False) for fill in fills_from(session, lot)]
    return LotFills(lot=lot.number, kind=lot.kind, fills=shown)


def shown_fill(session: ReadSession, fill: Fill, *, weights: bool) -> FillOut:
    lots = stock.lots_by_id(
        session, [i for i in (fill.lot, fill.bulk, fill.container_lot, fill.closure_lot) if i]
    )
    packed, bulk, notes = lots[fill.lot], lots[fill.bulk], Footnotes()
    density = figure_numbered(session, fill.density_from)
    weighed = weights_of(session, fill)
    return FillOut(
        lot=packed.number,
        bulk=bulk.number,
        product=packed.product,
        pack=fill.pack,
        container=packed.container,
        container_lot=lots[fill.container_lot].number,
        closure_lot=lots[fill.closure_lot].number if fill.closure_lot else None,
        count=fill.count,
        net=litres(packed.nominal_ul),
        tare=mass(fill.tare_mg or None),
        density=_bare(shown_figures([density], notes)[0]),
        nominal_mass=_nominal_mass(fill, packed, notes),
        filled=mass(fill.filled_mg),
        check=_shown_check(check_of(session, fill, packed), notes),
        quality=packed.quality,
        made_on=packed.made_on,
        filled_on=fill.happened_at.astimezone(zone(session)).date(),
        expires_on=packed.expires_on,
        by=fill.by,
        happened_at=fill.happened_at,
        weights=_shown_weights(fill, weighed) if weights else None,
        notes=notes.as_json(),
    )


def _bare(figure: Figure) -> Figure:
    return Figure(value=figure.value, unit=figure.unit, basis=figure.basis, note=figure.note)


def _nominal_mass(fill: Fill, packed: Lot, notes: Footnotes) -> Figure:
    net, grams = litres(packed.nominal_ul), mass(fill.nominal_mg)
    assert net is not None
    assert grams is not None
    how = f"{net.value} {net.unit} x {plain(fill.density)} kg/l"
    name = notes.add("nominal", {"basis": "calculated", "how": how, "source": f"{RULE} 2.2"})
    return Figure(value=grams.value, unit=grams.unit, basis="calculated", note=name)


def _shown_check(found: Check, notes: Footnotes) -> CheckOut:
    mean = None
    if found.mean is not None:
        how = "mean net mass / density"
        name = notes.add("mean", {"basis": "calculated", "how": how, "n": found.weighed})
        mean = Figure(value=plain(found.mean), unit="ml", basis="calculated", note=name)
    return CheckOut(
        verdict=found.verdict,
        why=found.why,
        rule=RULE,
        weighed=found.weighed,
        mean=mean,
        tolerable_negative_error=_ml(found.tolerable),
        first_limit=_ml(found.first_limit),
        second_limit=_ml(found.second_limit),
        below_first=found.below_first,
        below_second=found.below_second,
    )


def _ml(value: Decimal | None) -> Amount | None:
    return None if value is None else Amount(value=plain(value), unit="ml")


def _shown_weights(fill: Fill, rows: Sequence[FillWeight]) -> list[WeightOut]:
    found = []
    for row in rows:
        gross, net = mass(row.gross_mg), mass(row.gross_mg - fill.tare_mg)
        assert gross is not None
        assert net is not None
        found.append(WeightOut(position=row.position, gross=gross, net=net))
    return found
