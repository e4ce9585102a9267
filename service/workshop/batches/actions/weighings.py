"""Weighings: the line, the lot and the balance found, the fact kept, the stock drawn."""

from dataclasses import dataclass, field, fields
from datetime import timedelta
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.equipment.queries import of_kind, only
from service.office.people.queries import doer
from service.science.rounding import plain
from service.science.units import Quantity
from service.store.session import WriteSession
from service.web.amounts import whole
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchLine, Weighing
from service.workshop.batches.actions.desk import Desk, Place, begin, move_stock, open_desk
from service.workshop.batches.actions.losses import measure_loss
from service.workshop.batches.actions.lots import find_lot, refuse_impossible
from service.workshop.batches.bodies.entries import WeighingIn
from service.workshop.batches.rules import BESIDE_THE_PLAN, Verdict, WrongMaterial, verdict
from service.workshop.materials import queries as materials
from service.workshop.scalings import queries as scalings
from service.workshop.stock import actions as stock_actions
from service.workshop.stock import queries as stock


@dataclass(frozen=True)
class Portion:
    """What is said of a weighing; what is not said is found."""

    amount: Quantity
    line: int | None = None
    material: str | None = None
    lot: str | None = None
    balance: str | None = None
    substitute: bool = False
    part: bool = False
    checked_by: str | None = None


def portion_of(wanted: WeighingIn) -> Portion:
    """A weighing as it came alone."""
    return Portion(**{each.name: getattr(wanted, each.name) for each in fields(Portion)})


@dataclass(frozen=True)
class Weighed:
    """A weighing as it was kept."""

    row: Weighing
    line: BatchLine | None
    lot: stock.Lot
    assumed: dict[str, Any] = field(default_factory=dict)


def enter_weighing(session: WriteSession, code: str, wanted: WeighingIn) -> tuple[Desk, Weighed]:
    """A weighing that came alone. Raises UnknownBatch, WrongMaterial, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    found = record_weighing(desk, portion_of(wanted), Place())
    measure_loss(desk)
    return desk, found


def record_weighing(desk: Desk, portion: Portion, place: Place) -> Weighed:
    """Keep a weighing and draw it from stock. Raises WrongMaterial, Invalid."""
    line = _line(desk, portion, place)
    if portion.checked_by is not None:
        doer(desk.session, portion.checked_by, pointer=place.of("checked_by"))
    material = portion.material or (line.material if line else None) or ""
    lot, lot_assumed = find_lot(desk, line, material, portion.lot, place)
    check_material(desk, line, lot, substitute=portion.substitute, place=place)
    balance, balance_assumed = _balance(desk, portion, place)
    begin(desk)
    row = keep_weighing(desk, portion, line=line, lot=lot, balance=balance)
    assumed = {**lot_assumed, **balance_assumed}
    if portion.line is None and line is not None:
        assumed["line"] = line.line
    return Weighed(row, line, lot, assumed)


def _line(desk: Desk, portion: Portion, place: Place) -> BatchLine | None:
    weighed = [line for line in queries.lines(desk.session, desk.batch) if line.do == "weigh"]
    if portion.line is not None:
        for line in weighed:
            if line.line == portion.line:
                return line
        there = ", ".join(str(line.line) for line in weighed)
        wrong = f"Line {portion.line} of {desk.batch.code} is not weighed; these are: {there}."
        raise Invalid(wrong, at(place.of("line"), wrong, "line-not-weighed"))
    ours = [line for line in weighed if line.material == portion.material]
    done = {entry.line for entry in queries.weighings(desk.session, desk.batch)}
    if ours:
        return next((line for line in ours if line.line not in done), ours[0])
    if portion.substitute:
        return None
    materials.named_in_body(desk.session, portion.material or "", pointer=place.of("material"))
    wrong = f"{portion.material} stands on no line of {desk.batch.code}."
    then = "Kept as it happened; opens a deviation that release must conclude."
    remedy = Remedy("it really went in", place.wrap({"substitute": True}), then)
    faults = at(place.of("material"), wrong, "wrong-material", remedies=(remedy,))
    raise WrongMaterial(f"Nothing was written. {wrong}", faults)


def check_material(
    desk: Desk, line: BatchLine | None, lot: stock.Lot, *, substitute: bool, place: Place
) -> None:
    """Refuse another material once, with both ways out. Raises WrongMaterial, Invalid."""
    refuse_impossible(desk, lot, place)
    if line is None or lot.material == line.material or substitute:
        return
    wanted = line.material or ""
    names = materials.names(desk.session, [wanted, lot.material])
    right = [*line.lots, *(found.lot.number for found in stock.open_lots(desk.session, wanted))]
    slips = [
        Remedy(f"the pen slipped: {names[wanted]} went in", place.wrap({"lot": number}))
        for number in dict.fromkeys(right)
    ]
    then = "Kept as it happened; opens a deviation that release must conclude."
    fact = Remedy(f"{names[lot.material]} really went in", place.wrap({"substitute": True}), then)
    detail = (
        f"Nothing was written. Line {line.line} of {desk.batch.code} asks for {wanted} "
        f"({names[wanted]}); {lot.number} is {lot.material} ({names[lot.material]})."
    )
    short = f"{wanted} expected, {lot.material} given"
    raise WrongMaterial(
        detail, at(place.of("lot"), short, "wrong-material", remedies=(*slips[:3], fact))
    )


def _balance(desk: Desk, portion: Portion, place: Place) -> tuple[str | None, dict[str, Any]]:
    """The balance named, else the last used, else the plan's, else the only one there is."""
    session = desk.session
    if portion.balance is not None:
        of_kind(session, portion.balance, "balance", pointer=place.of("balance"))
        return portion.balance, {}
    there = only(session, "balance")
    found: str | None = (
        queries.last_balance(session, desk.batch)
        or scalings.scaling(session, desk.batch.scaling)["balance"]
        or queries.last_balance(session, None)
        or (there.code if there else None)
    )
    return found, {"balance": found} if found else {}


def keep_weighing(
    desk: Desk,
    portion: Portion,
    *,
    line: BatchLine | None,
    lot: stock.Lot,
    balance: str | None,
    correction: dict[str, Any] | None = None,
) -> Weighing:
    """Write the weighing, draw the stock, and flag what lies outside the plan."""
    row = Weighing(
        batch=desk.batch.row_id,
        line=line.line if line else BESIDE_THE_PLAN,
        material=lot.material,
        lot=lot.row_id,
        amount_mg=whole(portion.amount) or 0,
        entered_value=plain(portion.amount.value),
        entered_unit=portion.amount.unit,
        verdict="none",
        substitute=line is not None and lot.material != line.material,
        balance=balance,
        checked_by=portion.checked_by,
        page=desk.page,
        **{**desk.stamp(), **(correction or {})},
    )
    desk.session.add(row)
    desk.session.flush()  # the sum of the line is read from what stands
    row.verdict = _judge(desk, row, line, part=portion.part)
    _take(desk, row, lot)
    _flag_material(desk, row, line)
    _flag_lot(desk, row, lot)
    if line is not None:
        _flag_pour(desk, row, line)
    return row


def _take(desk: Desk, row: Weighing, lot: stock.Lot) -> None:
    """Draw what was weighed; it joins the origins of a lot that is already made."""
    mg = row.amount_mg
    move_stock(desk, lot, -mg, cause="weighing", reason=row.reason, line=row.line)
    if made := queries.made_lot(desk.session, desk.batch):
        stock_actions.link(desk.session, lot, made, mg)


def _judge(desk: Desk, row: Weighing, line: BatchLine | None, *, part: bool) -> Verdict:
    if line is None or line.target_mg is None or line.tolerance_mg is None:
        return "none"
    total = sum(e.amount_mg for e in queries.weighings(desk.session, desk.batch, row.line))
    found = verdict(total, line.target_mg, line.tolerance_mg)
    if part and found != "over":
        return "none"
    if found != "within":
        target, allow = queries.grams(line.target_mg), queries.grams(line.tolerance_mg)
        text = (
            f"{queries.grams(total).value} g of {row.material}; the plan said {target.value} g, "
            f"{allow.value} g more or less."
        )
        desk.deviate("out-of-tolerance", text, row.line)
    return found


def _flag_material(desk: Desk, row: Weighing, line: BatchLine | None) -> None:
    if row.substitute and line is not None:
        text = f"{row.material} in place of {line.material}."
        desk.deviate("substitute", text, row.line)
    elif line is None:
        desk.deviate("unplanned-material", f"{row.material} stands on no line.", row.line)


def _flag_lot(desk: Desk, row: Weighing, lot: stock.Lot) -> None:
    if lot.expires_on is not None and lot.expires_on < desk.day:
        text = f"{lot.number} expired on {lot.expires_on}."
        desk.deviate("lot-expired", text, row.line)
    if lot.quality != "released":
        desk.deviate("lot-not-released", f"{lot.number} is {lot.quality}.", row.line)


def _flag_pour(desk: Desk, row: Weighing, line: BatchLine) -> None:
    """A solvent that went in while the log's last temperature was above the plan."""
    if materials.material(desk.session, row.material).family != "solvent":
        return
    before = [
        queries.pour_limit(other)
        for other in queries.lines(desk.session, desk.batch)
        if other.do == "cool" and other.stage == line.stage and other.position < line.position
    ]
    limit = next((found for found in reversed(before) if found is not None), None)
    until = row.happened_at + timedelta(seconds=row.about_seconds or 0)
    last = queries.last_reading(desk.session, desk.batch, until)
    celsius = last.temperature_c if last else None
    if limit is None or celsius is None or celsius <= limit:
        return
    text = f"{plain(celsius)} °C; the plan said {plain(limit)} °C or below."
    desk.deviate("solvent-poured-hot", text, row.line)
