"""The lines of a sheet: numbered once, in the order in which they are worked."""

import re
from collections.abc import Container, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.science.formulation import HOT
from service.science.rounding import round_significant
from service.workshop.recipes.queries import Step
from service.workshop.scalings.bodies.shown import CautionOut, TargetOut
from service.workshop.scalings.rules import (
    POUR_MARGIN_K,
    THIN,
    bench_rank,
    pour_stage,
    sheet_order,
    yield_stage,
)

_DIGITS_TOLD = 4
POUR = "solvent-into-hot-varnish"
_CELSIUS = re.compile(r"(-?\d+(?:\.\d+)?) °C")


@dataclass(frozen=True, slots=True)
class Pour:
    """How hot a solvent may be poured by the frozen caution: the limit, or why there is none."""

    limit_c: Decimal | None
    why: str
    note: str | None

    @property
    def planned_c(self) -> Decimal | None:
        return None if self.limit_c is None else self.limit_c - POUR_MARGIN_K


@dataclass(frozen=True, slots=True)
class BenchLine:
    """A line to be worked: a weighing, a step of the version, or what a sheet adds to them."""

    line: int
    stage: str
    do: str
    weighed: TargetOut | None = None
    step: Step | None = None
    pour: Pour | None = None


def ordered(
    weighed: Sequence[TargetOut],
    steps: Sequence[Step],
    *,
    listed: Sequence[str],
    solvents: Container[str],
    cautions: Sequence[CautionOut],
) -> dict[str, list[BenchLine]]:
    """The lines by stage. The recipe's keep their numbers; the cooling before a pour, where the
    version does not plan it, and the yield take the next ones, as on the sheet of a batch."""
    lines = [BenchLine(row.line, row.stage, "weigh", weighed=row) for row in weighed]
    lines += [BenchLine(step.line, step.stage, step.do, step=step) for step in steps]
    out = yield_stage(listed)
    order = sheet_order(listed, [*(line.stage for line in lines), out])
    into = {row.stage for row in weighed if row.material in solvents}
    hot = {line.stage for line in lines if line.stage in HOT or line.do == "heat"}
    stage = pour_stage(order, hot=hot, solvents=into)
    number = max(line.line for line in lines) + 1
    pours = {THIN, *([stage] if stage else [])}
    if stage is not None and not _cools(steps, order, stage=stage, hot=hot, cautions=cautions):
        lines.append(BenchLine(number, stage, "cool", pour=_pour(cautions, stage)))
        number += 1
    lines.append(BenchLine(number, out, "yield"))
    return {name: _of_stage(lines, name, pours=name in pours) for name in order}


def _of_stage(lines: Sequence[BenchLine], stage: str, *, pours: bool) -> list[BenchLine]:
    own = [line for line in lines if line.stage == stage]
    return sorted(own, key=lambda line: (bench_rank(line.do, pours=pours), line.line))


def _pour(cautions: Sequence[CautionOut], stage: str) -> Pour:
    """What the scaling said of a pour when it was frozen; its sentence bears the limit."""
    said = next((row for row in cautions if (row.rule, row.stage) == (POUR, stage)), None)
    if said is None:
        return Pour(None, "the scaling does not say how hot it may be poured", None)
    found = _CELSIUS.search(said.text)
    return Pour(Decimal(found[1]) if found else None, said.why, said.note)


def _cools(
    steps: Sequence[Step],
    order: Sequence[str],
    *,
    stage: str,
    hot: Container[str],
    cautions: Sequence[CautionOut],
) -> bool:
    """Whether the version itself brings the kettle to where it may be poured."""
    limit_c = _pour(cautions, stage).limit_c
    warmths = [(step, step.to_c) for step in steps if step.to_c is not None]
    own = [to_c for step, to_c in warmths if step.do == "cool" and step.stage == stage]
    if own:
        return limit_c is None or any(_within(to_c, limit_c) for to_c in own)
    before = order[: order.index(stage)]
    since = before[max(place for place, name in enumerate(before) if name in hot) :]
    planned = [
        (since.index(step.stage), step.line, to_c) for step, to_c in warmths if step.stage in since
    ]
    return limit_c is not None and bool(planned) and _within(max(planned)[2], limit_c)


def _within(to_c: Decimal, limit_c: Decimal) -> bool:
    """A limit is told in so many digits, and is often the very temperature of a step."""
    return round_significant(to_c, _DIGITS_TOLD) <= limit_c
