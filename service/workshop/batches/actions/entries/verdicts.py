"""How a weighing lies to what was aimed at, and what it flags."""

from datetime import timedelta
from decimal import Decimal

from service.science.rounding import plain
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchLine, Weighing
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.queries.plan.pours import is_solvent, solvent_limit
from service.workshop.batches.queries.plan.targets import aim, weighed
from service.workshop.batches.rules import Verdict, verdict
from service.workshop.stock import queries as stock
from service.workshop.stock.rules import past_days


def judge_amount(desk: Desk, row: Weighing, line: BatchLine | None, *, part: bool) -> Verdict:
    """The verdict on the sum of a line; open while more follows, unless it is too much already."""
    wanted = None if line is None else aim(desk.session, desk.batch, line)
    if wanted is None or wanted.target_mg is None or wanted.tolerance_mg is None:
        return "none"
    total = sum(e.amount_mg for e in queries.weighings(desk.session, desk.batch, row.line))
    found = verdict(total, wanted.target_mg, wanted.tolerance_mg)
    if part and found != "over":
        return "none"
    if found != "within" and not _leads(desk, row):
        target, allow = queries.grams(wanted.target_mg), queries.grams(wanted.tolerance_mg)
        said = "the plan said" if wanted.scaling is None else f"by {wanted.scaling} it was"
        text = (
            f"{queries.grams(total).value} g of {row.material}; {said} {target.value} g, "
            f"{allow.value} g more or less."
        )
        desk.deviate("out-of-tolerance", text, row.line)
    return found


def _leads(desk: Desk, row: Weighing) -> bool:
    """Whether it is the first line of a batch whose others follow it: as it falls, so it is."""
    return desk.batch.bench_mode and not set(weighed(desk.session, desk.batch)) - {row.line}


def flag_material(desk: Desk, row: Weighing, line: BatchLine | None) -> None:
    if row.substitute and line is not None:
        text = f"{row.material} in place of {line.material}."
        desk.deviate("substitute", text, row.line)
    elif line is None and row.adjustment is not None:
        text = f"{row.entered_value} {row.entered_unit} of {row.material} beside the plan"
        desk.deviate("adjustment", f"{text}, for adjustment {row.adjustment}.", row.line)
    elif line is None:
        planned = {line.material for line in queries.lines(desk.session, desk.batch)}
        told = "went in beside the plan" if row.material in planned else "stands on no line"
        desk.deviate("unplanned-material", f"{row.material} {told}.", row.line)


def flag_lot(desk: Desk, row: Weighing, lot: stock.Lot) -> None:
    for code, text in past_days(lot, desk.day):
        desk.deviate(code, f"{lot.number} {text}.", row.line)
    if lot.quality != "released":
        desk.deviate("lot-not-released", f"{lot.number} is {lot.quality}.", row.line)


def flag_pour(desk: Desk, row: Weighing, line: BatchLine | None) -> None:
    """A solvent that went in while the log's last temperature was above the plan; beside the plan
    its own boiling point says how hot the pot may be."""
    if not is_solvent(desk.session, row.material):
        return
    limit = _beside(desk, row) if line is None else _planned(desk, line)
    until = row.happened_at + timedelta(seconds=row.about_seconds or 0)
    last = queries.last_reading(desk.session, desk.batch, until)
    celsius = last.temperature_c if last else None
    if limit is None or celsius is None or celsius <= limit:
        return
    said = "this solvent goes in at" if line is None else "the plan said"
    text = f"{plain(celsius)} °C; {said} {plain(limit)} °C or below."
    desk.deviate("solvent-poured-hot", text, row.line)


def flag_poured(desk: Desk, celsius: Decimal | None) -> None:
    """A solvent that is told to have gone in hotter than any pour of the plan may be."""
    lines = queries.lines(desk.session, desk.batch)
    cooled = (queries.pour_limit(line) for line in lines if line.do == "cool")
    limits = [limit for limit in cooled if limit is not None]
    if celsius is None or not limits or celsius <= max(limits):
        return
    text = f"{plain(celsius)} °C; the plan said {plain(max(limits))} °C or below."
    desk.deviate("solvent-poured-hot", text)


def _planned(desk: Desk, line: BatchLine) -> Decimal | None:
    before = [
        queries.pour_limit(other)
        for other in queries.lines(desk.session, desk.batch)
        if other.do == "cool" and other.stage == line.stage and other.position < line.position
    ]
    return next((found for found in reversed(before) if found is not None), None)


def _beside(desk: Desk, row: Weighing) -> Decimal | None:
    lot = stock.lot_by_id(desk.session, row.lot)
    return solvent_limit(desk.session, row.material, lot.number)
