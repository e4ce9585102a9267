"""The pour: the cool line before a solvent goes in hot, and a plan too hot refused."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.errors import at
from service.science.formulation import HOT
from service.science.rounding import plain
from service.store.session import ReadSession
from service.workshop.batches._tables import BatchLine
from service.workshop.batches.rules import (
    ETHANOL_CAS,
    Pour,
    PourTooHot,
    Solvent,
    pour,
    pour_stage,
)
from service.workshop.materials import queries as materials
from service.workshop.recipes.queries import Version
from service.workshop.stock import queries as stock


@dataclass(frozen=True)
class Poured:
    """What is known of the pour of one plan; `unknown` is a solvent whose figures are missing."""

    pour: Pour | None
    unknown: str | None


def stage_of_pour(
    session: ReadSession, lines: Sequence[BatchLine], order: Sequence[str]
) -> str | None:
    """The first stage in which solvent goes into what was heated in a stage before, or None."""
    solvents = {line.stage for line in lines if _is_solvent(session, line)}
    return pour_stage(order, hot=_heated(lines), solvents=solvents)


def cool_line(
    session: ReadSession, version: Version, lines: Sequence[BatchLine], order: Sequence[str]
) -> BatchLine | None:
    """The line to be added before solvents go into a hot kettle, if one is needed.

    Raises PourTooHot where a step of the stage of the pour says more than the limit.
    """
    stage = stage_of_pour(session, lines, order)
    if stage is None:
        return None
    hot = _heated(lines)
    solvents = [line for line in lines if line.stage == stage and _is_solvent(session, line)]
    found = _poured(session, solvents)
    own = [line for line in lines if line.stage == stage and line.to_c is not None]
    for step in own:
        _check(version, step, found.pour)
    before = order[: order.index(stage)]
    last_hot = max(place for place, name in enumerate(before) if name in hot)
    if any(step.do == "cool" for step in own) or _cool_already(
        lines, before[last_hot:], found.pour
    ):
        return None
    return BatchLine(
        batch=0,
        line=0,
        position=0,
        stage=stage,
        do="cool",
        to_c=found.pour.planned_c if found.pour else None,
        figure=found.pour.figure if found.pour else None,
        until=found.unknown,
    )


def _is_solvent(session: ReadSession, line: BatchLine) -> bool:
    if line.material is None:
        return False
    return materials.material(session, line.material).family == "solvent"


def _heated(lines: Sequence[BatchLine]) -> set[str]:
    """The stages that leave the kettle hot: those that always do, and those that heat."""
    return {line.stage for line in lines if line.stage in HOT or line.do == "heat"}


def _check(version: Version, step: BatchLine, limit: Pour | None) -> None:
    if limit is None or step.to_c is None or step.to_c <= limit.limit_c:
        return
    wrong = (
        f"Line {step.line} of {version.recipe} version {version.number} plans the pour at "
        f"{plain(step.to_c)} °C; {plain(limit.limit_c)} °C is the most for this solvent."
    )
    hint = f"Make a version whose step cools to {plain(limit.planned_c)} °C or less."
    raise PourTooHot(wrong, at("#/recipe", wrong, "pour-too-hot", hint=hint))


def _cool_already(lines: Sequence[BatchLine], since: Sequence[str], limit: Pour | None) -> bool:
    """Whether the last temperature planned since it was last heated is one to pour at."""
    planned = [
        (since.index(line.stage), line.line, line.to_c)
        for line in lines
        if line.stage in since and line.to_c is not None
    ]
    return limit is not None and bool(planned) and max(planned)[2] <= limit.limit_c


def _poured(session: ReadSession, solvents: Sequence[BatchLine]) -> Poured:
    """The strictest pour of all solvents; unknown as soon as one of them is."""
    found: list[Pour] = []
    for line in solvents:
        for known in _known(session, line):
            limit = pour(known) if known else None
            if limit is None:
                return Poured(None, line.material)
            found.append(limit)
    return Poured(min(found, key=lambda limit: limit.limit_c), None)


def _known(session: ReadSession, line: BatchLine) -> Iterator[Solvent | None]:
    """A solvent as its planned lots know it, the lot's figures before the material's."""
    code = line.material or ""
    ethanol = materials.material(session, code).cas == ETHANOL_CAS
    chains = [stock.subject_chain(stock.lot(session, number)) for number in line.lots]
    for chain in chains or [(("material", code),)]:
        boils = materials.figure(session, "boiling_point", *chain)
        if boils is None:
            yield None
            continue
        ignites = materials.figure(session, "autoignition", *chain)
        yield Solvent(
            material=code,
            boiling_c=boils.value,
            boiling_figure=boils.number,
            autoignition_c=ignites.value if ignites else None,
            autoignition_figure=ignites.number if ignites else None,
            ethanol=ethanol,
        )
