"""How a batch ends: its yield, the lot it makes, and what completion asks to be explained."""

from datetime import date

from service.errors import Remedy, at
from service.office.equipment.queries import of_kind
from service.office.people.queries import doer
from service.science.rounding import plain
from service.science.units import Quantity
from service.store.session import WriteSession
from service.web.amounts import whole
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch, Transition, Yield
from service.workshop.batches.actions.ending.losses import measure_loss
from service.workshop.batches.actions.ending.process import judge_batch
from service.workshop.batches.actions.entries.calibration import check_calibration
from service.workshop.batches.actions.entries.desk import Desk, Place, move_stock, open_desk, shift
from service.workshop.batches.actions.stages.ripening import ripe_on
from service.workshop.batches.bodies.entries import TransitionIn, YieldIn
from service.workshop.batches.queries.plan.targets import theory_mg
from service.workshop.batches.rules import (
    ENDED,
    LEAST_YIELD_PERCENT,
    MOVES,
    BatchState,
    YieldMissing,
    months_later,
    yield_percent,
)
from service.workshop.products import queries as products
from service.workshop.stock import actions as stock_actions
from service.workshop.stock import queries as stock

_COMPLETED = "batches completed"


def record_yield(session: WriteSession, code: str, wanted: YieldIn) -> tuple[Desk, Yield]:
    """What came out, weighed by itself. Raises UnknownBatch, Invalid, BatchState."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    if wanted.checked_by is not None:
        doer(session, wanted.checked_by, pointer="#/checked_by")
    if wanted.balance is not None:
        of_kind(session, wanted.balance, "balance", pointer="#/balance")
    return desk, keep_yield(
        desk, wanted.amount, balance=wanted.balance, checked_by=wanted.checked_by
    )


def keep_yield(
    desk: Desk,
    amount: Quantity,
    *,
    balance: str | None = None,
    checked_by: str | None = None,
) -> Yield:
    """The yield, on the balance that was used last where none is named.

    Raises BatchState once the batch has ended: then its yield is corrected.
    """
    batch = desk.batch
    if batch.state in ENDED:
        raise BatchState(f"{batch.code} is {batch.state} and takes no yield. {_instead(desk)}")
    if (before := queries.yield_of(desk.session, batch)) is not None:
        was, now = f"{before.entered_value} {before.entered_unit}", f"{plain(amount.value)}"
        text = f"{was} was entered as the yield before; {now} {amount.unit} counts now, not both."
        desk.deviate("yield-again", text)
    row = Yield(
        batch=batch.row_id,
        amount_mg=whole(amount) or 0,
        entered_value=plain(amount.value),
        entered_unit=amount.unit,
        theory_mg=theory_mg(desk.session, batch),
        balance=balance or queries.last_balance(desk.session, batch),
        checked_by=checked_by,
        page=desk.page,
        **desk.stamp(),
    )
    desk.session.add(row)
    desk.session.flush()  # completion reads the yield that counts
    check_calibration(desk, (row.balance,))
    return row


def _instead(desk: Desk) -> str:
    """Where it is told what came out of a batch that has ended."""
    batch = desk.batch
    if queries.yield_of(desk.session, batch) is None:
        said = "What is left of it is told as what a stage gave"
        return f"{said}: POST /v1/batches/{batch.code}/stages."
    last = max(line.line for line in queries.lines(desk.session, batch))
    return f"Correct it: POST /v1/batches/{batch.code}/lines/{last}/corrections."


def move_batch(
    session: WriteSession, code: str, wanted: TransitionIn
) -> tuple[Desk, Transition, stock.Lot | None]:
    """Raises UnknownBatch, Invalid, BatchState, YieldMissing."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    if wanted.to != "complete":
        return desk, shift(desk, wanted.to, wanted.text), None
    wait = (Remedy("it still waits for its yield", {"to": "held"}),)
    ways = wait if "held" in MOVES[desk.batch.state] else ()
    place = Place("#/to", spelled_out=False)
    row, lot = complete(desk, text=wanted.text, place=place, ways=ways)
    return desk, row, lot


def complete(
    desk: Desk, *, text: str | None = None, place: Place, ways: tuple[Remedy, ...] = ()
) -> tuple[Transition, stock.Lot]:
    """End the batch and make its lot. Raises YieldMissing, BatchState."""
    batch = desk.batch
    out = queries.yield_of(desk.session, batch)
    if out is None and batch.state not in ENDED:
        wrong = f"No yield of {batch.code} is recorded, so it cannot be complete."
        there = f"first: POST /v1/batches/{batch.code}/yields"
        how = 'send it: "yield": "5.478 kg"' if place.spelled_out else f"send it {there}"
        hint = f"Weigh what came out and {how}."
        faults = at(place.of("yield"), wrong, "yield-missing", hint=hint, remedies=ways)
        raise YieldMissing(wrong, faults)
    if batch.state == "planned":
        shift(desk, "running")
    row = shift(desk, "complete", text)
    assert out is not None
    _ask_for_reasons(desk, out)
    for goal in queries.unreached(desk.session, batch):
        desk.deviate("adjustment-open", goal)
    lot = _make_lot(desk, out)
    measure_loss(desk)
    desk.session.info.setdefault(_COMPLETED, []).append((batch.code, desk.by))
    return row, lot


def take_completed(session: WriteSession) -> list[tuple[str, str | None]]:
    """The batches that this transaction completed, and who did, each told once."""
    found: list[tuple[str, str | None]] = session.info.pop(_COMPLETED, [])
    return found


def _ask_for_reasons(desk: Desk, out: Yield) -> None:
    """Facts that do not add up are kept, and opened as deviations."""
    entries = queries.weighings(desk.session, desk.batch)
    done = {entry.line for entry in entries}
    for line in queries.lines(desk.session, desk.batch):
        if line.target_mg is not None and line.do == "weigh" and line.line not in done:
            target = queries.grams(line.target_mg)
            text = f"{line.material} has no weighing; {target.value} g were planned."
            desk.deviate("line-not-weighed", text, line.line)
    judge_batch(desk)
    # In bench mode what was weighed after the yield says anew what should have come out.
    share = yield_percent(out.amount_mg, theory_mg(desk.session, desk.batch))
    if share < LEAST_YIELD_PERCENT:
        text = f"The yield is {share} % of theory; below {LEAST_YIELD_PERCENT} % the loss is told."
        desk.deviate("yield-low", text)


def _make_lot(desk: Desk, out: Yield) -> stock.Lot:
    """The batch's lot, with the movement that brings it and the lots it came from."""
    session, batch = desk.session, desk.batch
    lot = stock_actions.make_lot(
        session,
        stock_actions.NewLot(
            number=batch.code,
            kind="made",
            material=batch.material,
            amount_in=out.amount_mg,
            product=batch.product,
            made_on=desk.day,
            expires_on=_expiry(desk, batch),
            ready_on=ripe_on(desk),
        ),
    )
    move_stock(desk, lot, out.amount_mg, cause="yield")
    drawn: dict[int, int] = {}
    for entry in queries.weighings(session, batch):
        drawn[entry.lot] = drawn.get(entry.lot, 0) + entry.amount_mg
    for lot_id, parent in stock.lots_by_id(session, drawn).items():
        stock_actions.link(session, parent, lot, drawn[lot_id])
    return lot


def _expiry(desk: Desk, batch: Batch) -> date | None:
    if batch.product is None:
        return None
    months = products.product(desk.session, batch.product).shelf_months
    return None if months is None else months_later(desk.day, months)
