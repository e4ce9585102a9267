"""What the plan of a batch says of its process: what each stage should leave, and its band."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from service.store.session import ReadSession
from service.workshop.batches._tables import Batch, Weighing
from service.workshop.batches.queries.balance.losses import LOSS, loss_figure, version_subject
from service.workshop.batches.queries.plan.targets import followed, mg
from service.workshop.batches.queries.record import records
from service.workshop.batches.queries.stages.stages import StageWorked, total
from service.workshop.batches.rules import BESIDE_THE_PLAN
from service.workshop.batches.rules.bands import (
    Band,
    Passed,
    Remains,
    own_band,
    percent_text,
    remains,
    stage_band,
)
from service.workshop.materials.queries import last_figures

_MOST_OWN = 12
# What is weighed as it is taken out stands in the place of what was declared of it.
_TAKEN_OUT = frozenset({"settling", "residue", "straining"})


@dataclass(frozen=True, slots=True)
class Expected:
    """What the process should have left, and by which rule; or why that cannot be told."""

    remains: Remains | None
    how: str


@dataclass(frozen=True, slots=True)
class PlannedStage:
    """A stage of the plan in mg: what is in the pot in it, what leaves, what of that is weighed."""

    pot_mg: int
    lost_mg: int
    weighed_mg: int

    def declared(self, *, taken: bool) -> Fraction | None:
        """The share that leaves unweighed."""
        lost = self.lost_mg - (self.weighed_mg if taken else 0)
        return Fraction(lost, self.pot_mg) if self.pot_mg > 0 else None

    @property
    def left_mg(self) -> int:
        return self.pot_mg - self.lost_mg


def planned(session: ReadSession, batch: Batch) -> dict[str, PlannedStage]:
    """The masses of the plan, stage by stage in the order of the work; in bench mode of what
    follows from the weights."""
    plan = followed(session, batch)
    target = {line["line"]: mg(line["target"]) for line in plan["lines"]}
    lines = records.lines(session, batch)
    found: dict[str, PlannedStage] = {}
    pot = 0
    for stage, _ in records.planned_stages(session, batch):
        pot += sum(
            target[line.line] for line in lines if line.stage == stage and line.do == "weigh"
        )
        gone = [loss for loss in plan.get("losses", ()) if loss["stage"] == stage]
        lost = sum(mg(loss["mass"]) for loss in gone)
        weighed = sum(mg(loss["mass"]) for loss in gone if loss["what"] in _TAKEN_OUT)
        found[stage] = PlannedStage(pot, lost, weighed)
        pot -= lost
    return found


def band_of(planned_one: PlannedStage | None, stage: str, *, taken: bool) -> Band | None:
    """The band of one stage, with what the plan declares of it."""
    declared = None if planned_one is None else planned_one.declared(taken=taken)
    return stage_band(stage, declared, taken=taken)


def expected_of_stage(session: ReadSession, batch: Batch, worked: StageWorked) -> Expected:
    """What one stage should have left of all that was in it, what was taken out included."""
    charged = worked.charged_mg
    known = planned(session, batch).get(worked.stage)
    # Here what was taken out is part of what came out, so its declared loss is no loss.
    band = band_of(known, worked.stage, taken=bool(worked.taken))
    if charged is None or band is None:
        what = "what was in the pot" if charged is None else "a usual loss"
        return Expected(None, f"{what} is not known of {worked.stage}")
    how = f"{worked.stage}: {_told(band)} of what is in the pot"
    return Expected(remains([Passed(worked.stage, charged, 0, band)]), how)


def expected_of_batch(
    session: ReadSession, batch: Batch, worked: Sequence[StageWorked]
) -> Expected:
    """What all stages should have left together, less what was weighed as it was taken out."""
    entries = records.weighings(session, batch)
    charged = sum(entry.amount_mg for entry in entries)
    taken = sum(total(one.taken) for one in worked)
    own = _own(session, batch)
    if own is not None and not taken:
        low, high = (charged * (1 - share) for share in (own.high, own.low))
        how = f"{_told(own)} of all that is weighed in, as the last batches of this version lost"
        return Expected(Remains(low, high), how)
    passed = _passed(session, batch, entries, worked)
    if isinstance(passed, str):
        return Expected(None, passed)
    how = "; ".join(f"{each.stage} {_told(each.band)}" for each in passed)
    return Expected(remains(passed), f"of what is in the pot: {how}")


def _passed(
    session: ReadSession,
    batch: Batch,
    entries: Sequence[Weighing],
    worked: Sequence[StageWorked],
) -> list[Passed] | str:
    """The stages gone through, or which of them has no usual loss."""
    known = planned(session, batch)
    names = list(known) + [one.stage for one in worked if one.stage not in known]
    of_line = {line.line: line.stage for line in records.lines(session, batch)}
    found: list[Passed] = []
    for name in dict.fromkeys(names):
        taken = sum(total(one.taken) for one in worked if one.stage == name)
        band = band_of(known.get(name), name, taken=taken > 0)
        if band is None:
            return f"no usual loss is known of {name}"
        charged = sum(each.amount_mg for each in entries if of_line.get(each.line) == name)
        found.append(Passed(name, charged, taken, band))
    beside = sum(each.amount_mg for each in entries if each.line == BESIDE_THE_PLAN)
    # Nobody says at which stage it went in: at the last one it can have lost least.
    last = found[-1]
    found[-1] = Passed(last.stage, last.charged_mg + beside, last.taken_mg, last.band)
    return found


def _own(session: ReadSession, batch: Batch) -> Band | None:
    """The band of the version's other batches, where there are enough of them."""
    rows = last_figures(session, LOSS, version_subject(batch), most=_MOST_OWN)
    mine = loss_figure(session, batch)
    kept = [row.value for row in rows if mine is None or row.number != mine.number]
    return own_band([Decimal(value) for value in kept])


def _told(band: Band) -> str:
    return f"{percent_text(band.low)} to {percent_text(band.high)} %"


def theory_of_stage(
    session: ReadSession, batch: Batch, stage: str, entries: Sequence[Weighing]
) -> int | None:
    """What a stage should leave by the plan, in mg; with what went in as needed as it went in."""
    known = planned(session, batch)
    if stage not in known:
        return None
    order = list(known)
    upto = set(order[: order.index(stage) + 1])
    lines = records.lines(session, batch)
    open_lines = {line.line for line in lines if line.target_mg is None and line.stage in upto}
    needed = sum(entry.amount_mg for entry in entries if entry.line in open_lines)
    return known[stage].left_mg + needed
