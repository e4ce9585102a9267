"""The pour: the cool line that a thinning stage gets, and a plan too hot refused."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.errors import at
from service.science.rounding import plain
from service.store.session import ReadSession
from service.workshop.batches._tables import BatchLine
from service.workshop.batches.rules import ETHANOL_CAS, HOT, Pour, PourTooHot, Solvent, pour
from service.workshop.materials import queries as materials
from service.workshop.recipes.queries import Step, Version
from service.workshop.stock import queries as stock


@dataclass(frozen=True)
class Poured:
    """What is known of the pour of one plan; `unknown` is a solvent whose figures are missing."""

    pour: Pour | None
    unknown: str | None


def cool_line(
    session: ReadSession, version: Version, lines: Sequence[BatchLine], steps: Sequence[Step]
) -> BatchLine | None:
    """The line to be added before solvents go into a hot kettle, if one is needed.

    Raises PourTooHot where a step of the thinning stage says more than the limit.
    """
    solvents = [line for line in lines if line.stage == "thin" and _is_solvent(session, line)]
    if not solvents or not _is_hot(lines, steps):
        return None
    found = _poured(session, solvents)
    own = [step for step in steps if step.stage == "thin" and step.to_c is not None]
    for step in own:
        _check(version, step, found.pour)
    if any(step.do == "cool" for step in own) or _cool_already(steps, found.pour):
        return None
    return BatchLine(
        batch=0,
        line=0,
        position=0,
        stage="thin",
        do="cool",
        to_c=found.pour.planned_c if found.pour else None,
        figure=found.pour.figure if found.pour else None,
        until=found.unknown,
    )


def _is_solvent(session: ReadSession, line: BatchLine) -> bool:
    return materials.material(session, line.material or "").family == "solvent"


def _is_hot(lines: Sequence[BatchLine], steps: Sequence[Step]) -> bool:
    hot_stage = any(line.stage in HOT for line in lines)
    return hot_stage or any(step.do == "heat" and step.stage != "thin" for step in steps)


def _check(version: Version, step: Step, limit: Pour | None) -> None:
    if limit is None or step.to_c is None or step.to_c <= limit.limit_c:
        return
    wrong = (
        f"Line {step.line} of {version.recipe} version {version.number} plans the pour at "
        f"{plain(step.to_c)} °C; {plain(limit.limit_c)} °C is the most for this solvent."
    )
    hint = f"Make a version whose step cools to {plain(limit.planned_c)} °C or less."
    raise PourTooHot(wrong, at("#/recipe", wrong, "pour-too-hot", hint=hint))


def _cool_already(steps: Sequence[Step], limit: Pour | None) -> bool:
    """Whether the last temperature that the cook plans is one to pour at."""
    planned: list[Decimal] = [
        step.to_c for step in steps if step.stage != "thin" and step.to_c is not None
    ]
    return limit is not None and bool(planned) and planned[-1] <= limit.limit_c


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
