"""Weighings: the line, the lot and the balance found, the fact kept, the stock drawn."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.equipment.queries import equipment, of_kind, only
from service.office.people.queries import doer
from service.science.rounding import plain
from service.web.amounts import whole
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchLine, Weighing
from service.workshop.batches.actions.entries.calibration import check_calibration
from service.workshop.batches.actions.entries.desk import Desk, Place, begin, move_stock
from service.workshop.batches.actions.entries.late import judge
from service.workshop.batches.actions.entries.lots import find_lot, refuse_impossible
from service.workshop.batches.actions.entries.retargets import follow_weights
from service.workshop.batches.actions.entries.verdicts import (
    flag_lot,
    flag_material,
    flag_pour,
    judge_amount,
)
from service.workshop.batches.rules import BESIDE_THE_PLAN, WrongMaterial
from service.workshop.batches.rules.netting import Disagree, Read, net_of
from service.workshop.materials import queries as materials
from service.workshop.scalings import queries as scalings
from service.workshop.stock import actions as stock_actions
from service.workshop.stock import queries as stock


@dataclass(frozen=True)
class Portion:
    """What is said of a weighing; what is not said is found."""

    read: Read
    line: int | None = None
    material: str | None = None
    lot: str | None = None
    balance: str | None = None
    substitute: bool = False
    part: bool = False
    checked_by: str | None = None
    adjustment: int | None = None  # the number of the one it is added for


@dataclass(frozen=True)
class Weighed:
    """A weighing as it was kept."""

    row: Weighing
    line: BatchLine | None
    lot: stock.Lot
    assumed: dict[str, Any] = field(default_factory=dict)


def record_weighing(desk: Desk, portion: Portion, place: Place) -> Weighed:
    """Keep a weighing and draw it from stock. Raises WrongMaterial, Invalid."""
    line = _line(desk, portion, place)
    if portion.checked_by is not None:
        doer(desk.session, portion.checked_by, pointer=place.of("checked_by"))
    material = portion.material or (line.material if line else None) or ""
    lot, lot_assumed = find_lot(desk, line, material, portion.lot, place)
    _check_named(portion, line, lot, place)
    check_material(desk, line, lot, substitute=portion.substitute, place=place)
    balance, balance_assumed = _balance(desk, portion, place)
    portion = replace(portion, read=settled(desk, portion.read, balance, place))
    begin(desk)
    row = keep_weighing(desk, portion, line=line, lot=lot, balance=balance)
    assumed = {**lot_assumed, **balance_assumed}
    if portion.line is None and line is not None:
        assumed["line"] = line.line
    return Weighed(row, line, lot, assumed)


def settled(desk: Desk, read: Read, balance: str | None, place: Place) -> Read:
    """The readings with what went in. Raises Invalid where they do not agree."""
    division = equipment(desk.session, balance).reads_to_mg if balance else None
    try:
        net = net_of(read, division or 0)
    except Disagree as found:
        raise disagreement(found, place) from None
    if not whole(net):
        wrong = f"{net} is less than a milligram."
        raise Invalid(wrong, at(place.of("net"), wrong, "out-of-range"))
    return replace(read, net=net)


def disagreement(found: Disagree, place: Place) -> Invalid:
    """Readings that cannot all be right, each with the patch that leaves it out."""
    ways = tuple(Remedy(why, place.wrap(dict(patch))) for why, patch in found.ways)
    fault = at(place.of(found.name), found.detail, found.code, remedies=ways)
    return Invalid(found.detail, fault)


def _line(desk: Desk, portion: Portion, place: Place) -> BatchLine | None:
    weighed = [line for line in queries.lines(desk.session, desk.batch) if line.do == "weigh"]
    if portion.adjustment is not None:
        return _as_needed(weighed, portion)
    if portion.line == BESIDE_THE_PLAN:
        materials.named_in_body(desk.session, portion.material or "", pointer=place.of("material"))
        return None
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


def _as_needed(weighed: Sequence[BatchLine], portion: Portion) -> BatchLine | None:
    """The line whose amount the recipe leaves to the pot; what is added beyond it has none."""
    ours = (line for line in weighed if line.material == portion.material)
    return next((line for line in ours if line.target_mg is None), None)


def _check_named(portion: Portion, line: BatchLine | None, lot: stock.Lot, place: Place) -> None:
    """Raises WrongMaterial where the material that is said to have gone in, and not only the line
    it stands on, is another than that of the lot."""
    named = portion.material
    if named is None or named == lot.material or (line is not None and named == line.material):
        return
    wrong = f"{lot.number} is {lot.material}, not {named}."
    remedy = Remedy(f"{lot.material} really went in", place.wrap({"material": lot.material}))
    faults = at(place.of("lot"), wrong, "wrong-material", remedies=(remedy,))
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
        verdict="none",
        substitute=line is not None and lot.material != line.material,
        balance=balance,
        checked_by=portion.checked_by,
        adjustment=portion.adjustment,
        page=desk.page,
        **_as_read(portion.read),
        **{**desk.stamp(), **(correction or {})},
    )
    desk.session.add(row)
    desk.session.flush()  # the sum of the line is read from what stands
    judge(desk, row)
    row.verdict = judge_amount(desk, row, line, part=portion.part)
    _take(desk, row, lot)
    flag_material(desk, row, line)
    flag_lot(desk, row, lot)
    flag_pour(desk, row, line)
    check_calibration(desk, (balance,), line=row.line)
    if not portion.part:
        follow_weights(desk)
    return row


def _as_read(read: Read) -> dict[str, Any]:
    """What went in, and the vessel as it was read."""
    assert read.net is not None
    return {
        "amount_mg": whole(read.net) or 0,
        "entered_value": plain(read.net.value),
        "entered_unit": read.net.unit,
        "gross": None if read.gross is None else str(read.gross),
        "tare": None if read.tare is None else str(read.tare),
    }


def _take(desk: Desk, row: Weighing, lot: stock.Lot) -> None:
    """Draw what was weighed; it joins the origins of a lot that is already made."""
    mg = row.amount_mg
    move_stock(desk, lot, -mg, cause="weighing", reason=row.reason, line=row.line)
    if made := queries.made_lot(desk.session, desk.batch):
        stock_actions.link(desk.session, lot, made, mg)
