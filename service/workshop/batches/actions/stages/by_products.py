"""What a batch gives besides its own lot: foots kept as a lot, and where each came from."""

from collections.abc import Mapping

from sqlmodel import select

from service.errors import Invalid, at
from service.workshop.batches import queries
from service.workshop.batches._tables import Weighing
from service.workshop.batches._tables_stages import StageEntry
from service.workshop.batches.actions.entries.desk import Desk, move_stock
from service.workshop.materials import queries as materials
from service.workshop.materials.rules import COUNTED
from service.workshop.stock import actions as stock_actions
from service.workshop.stock import queries as stock


def keep_lot(desk: Desk, material: str, amount_mg: int, *, pointer: str) -> stock.Lot:
    """A lot of what was taken out, with the movement that brings it. Raises Invalid."""
    held = materials.named_in_body(desk.session, material, pointer=pointer)
    if held.kind in COUNTED:
        wrong = f"{held.code} is kept by count; no lot of it comes out of a batch."
        raise Invalid(wrong, at(pointer, wrong, "lot-counted"))
    number = stock_actions.number_for(desk.session, held.lot_prefix, desk.day)
    new = stock_actions.NewLot(number, "made", held.code, amount_mg, made_on=desk.day)
    lot = stock_actions.make_lot(desk.session, new)
    move_stock(desk, lot, amount_mg, cause="yield")
    return lot


def restate(desk: Desk, old: StageEntry, new: StageEntry) -> None:
    """The compensating movement of a lot that a stage gave, after its entry was corrected."""
    if old.lot is None:
        return
    lot = stock.lot_by_id(desk.session, old.lot)
    amount = 0 if new.void else new.amount_mg or 0
    stock_actions.set_amount_in(desk.session, lot, amount)
    difference = amount - (old.amount_mg or 0)
    if difference:
        move_stock(desk, lot, difference, cause="correction", reason=new.reason)


def settle_origins(desk: Desk) -> None:
    """Say anew how much of each lot drawn is in each lot that the batch made, where it gave more
    than its own."""
    found = queries.origins(desk.session, desk.batch)
    if not found.besides:
        return
    for lot, parents in found.besides.items():
        _set_origins(desk, stock.lot_by_id(desk.session, lot), parents)
    if made := queries.made_lot(desk.session, desk.batch):
        _set_origins(desk, made, found.own)


def _set_origins(desk: Desk, child: stock.Lot, wanted: Mapping[int, int]) -> None:
    """Write the edges from the lots that this batch ever drew; those of any other call stay."""
    session = desk.session
    ever = set(session.exec(select(Weighing.lot).where(Weighing.batch == desk.batch.row_id)))
    now = {lot.row_id: mg for lot, mg in stock.parents(session, child.row_id)}
    for key, lot in stock.lots_by_id(session, sorted(ever)).items():
        difference = wanted.get(key, 0) - now.get(key, 0)
        if difference:
            stock_actions.link(session, lot, child, difference)
