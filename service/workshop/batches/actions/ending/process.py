"""Facts that the process does not explain: more or less than it usually leaves, not yet dry."""

from service.science.rounding import plain
from service.workshop.batches import queries
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.queries.balance.closing import Judgement, of_batch, of_stage
from service.workshop.batches.rules.drying import constant
from service.workshop.deviations import queries as deviations

STAGE = {"loss": "stage-loss", "gain": "stage-gain"}
WHOLE = {"loss": "loss-unexplained", "gain": "more-out-than-in"}


def judge_stage(desk: Desk, number: int) -> None:
    """Ask about a stage that has ended and left more or less than its process explains, or that
    was to be dry and was not."""
    worked = queries.stage(desk.session, desk.batch, number)
    if worked.end is None:
        return
    found = of_stage(desk.session, desk.batch, worked)
    if found is not None and found.judged in STAGE:
        _ask(desk, STAGE[found.judged], f"Stage {number}, {worked.stage}: {_told(found)}")
    asked = worked.begun.constant_percent
    if asked is not None and not constant(worked.weigh_ins, asked):
        text = f"Stage {number}, {worked.stage}, ended before its mass was constant"
        _ask(desk, "mass-not-constant", f"{text} within {plain(asked)} %.")


def judge_batch(desk: Desk) -> None:
    """Ask about a batch that as a whole left more or less than its stages explain, unless one of
    them was asked about already."""
    held = {one.code for one in deviations.every(desk.session, desk.batch.code)}
    if held & set(STAGE.values()):
        return
    found = of_batch(desk.session, desk.batch)
    if found is not None and found.judged in WHOLE:
        desk.deviate(WHOLE[found.judged], _told(found))


def _told(found: Judgement) -> str:
    between = found.expected.remains
    assert between is not None
    low, high = (queries.grams(round(end)).value for end in (between.least, between.most))
    charged, left = queries.grams(found.charged_mg), queries.grams(found.left_mg)
    return (
        f"{left.value} g of {charged.value} g are left; {low} to {high} g were to be expected "
        f"({found.expected.how})."
    )


def _ask(desk: Desk, code: str, text: str) -> None:
    """Open it once: said again in the same words, it is known."""
    held = deviations.every(desk.session, desk.batch.code)
    if not any((one.code, one.text) == (code, text) for one in held):
        desk.deviate(code, text)
