"""What is lost on the way: as sent, as the recipe declares, or as the last batches showed."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.errors import Invalid, Remedy, at
from service.science import units
from service.science.exact import added
from service.science.rounding import decimal_of, plain, round_significant
from service.store.session import ReadSession
from service.workshop.materials.queries import last_values
from service.workshop.recipes import queries as recipes
from service.workshop.recipes.inside.working import Rows
from service.workshop.recipes.rules import Charge
from service.workshop.scalings.bodies import ScalingIn

LAST_BATCHES = 4
_NAMES = (("loss_cook", "cook"), ("loss_strain", "strain"))


@dataclass(frozen=True, slots=True)
class Losses:
    """The two losses that a scaling shows in percent, and those that stand in place of the
    recipe's, by stage."""

    loss_cook: Decimal
    loss_strain: Decimal
    instead: dict[str, Decimal]


@dataclass(frozen=True, slots=True)
class LastLoss:
    """What the last batches of a version lost, in the mean, of all that was weighed in."""

    percent: Fraction
    batches: int
    version: int

    @property
    def told(self) -> str:
        times = "batch" if self.batches == 1 else f"{self.batches} batches"
        return (
            f"{percents(self.percent)} of all that is weighed in, measured on the last {times} of "
            f"version {self.version}"
        )


def losses(rows: Rows, *, sent: ScalingIn, assumed: dict[str, Any]) -> Losses:
    """As sent, else the recipe's, else none, which is said. Raises Invalid for a loss of a stage
    that there is not."""
    stages = {row.stage for row in rows.stages}
    found, instead = {}, {}
    for name, stage in _NAMES:
        own = [row.percent for row in rows.losses if row.stage == stage]
        given = getattr(sent, name)
        there = stage in stages or stage == "strain"
        if given is not None and not there:
            raise _nowhere(name, stage)
        if given is not None:
            found[name] = instead[stage] = units.canonical(given)
            continue
        found[name] = sum(own, Decimal(0))
        if there:
            none = "0 %, as the recipe states none"
            assumed[name] = f"{plain(found[name])} %" if own else none
    return Losses(found["loss_cook"], found["loss_strain"], instead)


def _nowhere(name: str, stage: str) -> Invalid:
    wrong = f"The recipe has no stage {stage} in which something could be lost."
    way = Remedy("its own losses hold", {name: None})
    return Invalid(wrong, at(f"#/{name}", wrong, "no-stage", remedies=(way,)))


def measured_loss(
    session: ReadSession,
    version: recipes.Version,
    charges: Sequence[Charge],
    *,
    sent: ScalingIn,
    assumed: dict[str, Any],
) -> Sequence[Charge]:
    """The charge for the loss that the last batches of this version showed, where there are some
    and no loss was sent."""
    if sent.loss_cook is not None or sent.loss_strain is not None:
        return charges
    found = last_loss(session, version.recipe, version.number)
    if found is None:
        return charges
    declared = 100 * lost(charges)
    assumed["loss"] = f"{found.told}, in place of the {percents(declared)} worked out"
    return by_last(charges, found)


def last_loss(session: ReadSession, recipe: str, version: int) -> LastLoss | None:
    """What the last batches of a version lost of all that was weighed in, or None."""
    return last_losses(session, [(recipe, version)])[recipe, version]


def last_losses(
    session: ReadSession, versions: Iterable[tuple[str, int]]
) -> dict[tuple[str, int], LastLoss | None]:
    """The same of several versions, each a recipe and a number, in one query."""
    names = {f"{recipe}/{number}": (recipe, number) for recipe, number in versions}
    found = last_values(session, "loss", "version", names)
    return {names[name]: _mean(values, names[name][1]) for name, values in found.items()}


def _mean(values: Sequence[Decimal], version: int) -> LastLoss | None:
    last = values[:LAST_BATCHES]
    if not last:
        return None
    return LastLoss(added(map(Fraction, last)) / len(last), len(last), version)


def by_last(charges: Sequence[Charge], found: LastLoss) -> list[Charge]:
    """The same lines, so much more or less of each that this loss leaves what is to come out."""
    factor = (1 - lost(charges)) / (1 - found.percent / 100)
    return [line._replace(charged=line.charged * factor) for line in charges]


def lost(charges: Sequence[Charge]) -> Fraction:
    """What of all that is weighed in does not come out; below 0 more comes out."""
    return 1 - 1 / added(line.charged for line in charges)


def percents(value: Fraction) -> str:
    """A share in percent as it is told, to three digits."""
    return f"{plain(round_significant(decimal_of(value), 3))} %"
