"""What changes with scalings: one is worked out and frozen."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from service.office.audit.queries import head
from service.office.documents.actions import freeze_revision
from service.store.numbers import yearly
from service.store.session import WriteSession
from service.workshop.scalings.bodies import CostFigure, ScalingIn, ScalingOut, TargetOut
from service.workshop.scalings.charge.bench import of_bench, resumed
from service.workshop.scalings.charge.kettles import check_kettle, grams_per_unit, heats, shown_fill
from service.workshop.scalings.charge.limits import check_heat
from service.workshop.scalings.charge.makes import Outcome, outcome, shown_outcome
from service.workshop.scalings.charge.measured import mass_readings
from service.workshop.scalings.charge.plan import Plan, percent, plan
from service.workshop.scalings.costing.costs import cost
from service.workshop.scalings.rules import Target, targets
from service.workshop.scalings.told.cautions import cautions
from service.workshop.scalings.told.derived import derived_figures
from service.workshop.scalings.told.flags import flags
from service.workshop.scalings.told.making import needs, shopping
from service.workshop.scalings.told.picking import (
    lines,
    no_more_than_named,
    rounding,
    shown_losses,
    weighable,
)


def scale(
    session: WriteSession,
    recipe_code: str,
    wanted: ScalingIn,
    reserved: Mapping[int, int] | None = None,
) -> ScalingOut:
    """Work out a charge and freeze it; what is `reserved` of lots, by their keys, counts as not
    there. Raises UnknownRecipe, UnknownVersion, UnknownScaling,
    NotApproved, NotInUse, DensityNeeded, ValueNeeded, PlanRefused, CookTooHot, PourTooHot,
    TooDeep, KettleTooSmall, TooSmallToWeigh, Invalid."""
    if wanted.bench is not None:
        wanted = resumed(session, recipe_code, wanted, wanted.bench)
    begun = plan(session, recipe_code, wanted, reserved or {})
    check_heat(begun)
    begun, found = _remeasured(begun, _outcome(begun, wanted))
    step_g = begun.balance.step_g
    aims = targets(begun.charges, found.mass_g, step_g=step_g, weighed=found.weighed)
    aims = no_more_than_named(found, aims, step_g=step_g)
    weighable(begun, aims)
    check_kettle(begun, found.mass_g, found.density)
    number = yearly(session, "SC", session.now.year)
    answer = _answer(begun, found, aims, number=number)
    freeze_revision(
        session,
        "scaling",
        number,
        answer.model_dump(mode="json", by_alias=True),
        audit_head=head(session)[1],
        by=session.actor.person,
    )
    return answer


def _outcome(begun: Plan, wanted: ScalingIn) -> Outcome:
    if wanted.bench is not None:
        return of_bench(begun, wanted, wanted.bench)
    return outcome(begun, wanted)


def _remeasured(begun: Plan, found: Outcome) -> tuple[Plan, Outcome]:
    """After a mass was measured in the pot, the charge stays as it is and what follows from the
    pot is worked out again."""
    if not any(each.mass is not None for each in begun.sent.measured):
        return begun, found
    unit_g = grams_per_unit(begun, found.mass_g)
    again = begun.reworked(mass_readings(begun.sent, begun.done.pots, grams_per_unit=unit_g))
    return again, replace(found, mass_g=found.mass_g * again.done.makes / begun.done.makes)


def _answer(begun: Plan, found: Outcome, aims: Sequence[Target], *, number: str) -> ScalingOut:
    makes = shown_outcome(begun, found)
    rows = lines(begun, aims)
    missing = needs(begun, rows)
    fill = shown_fill(begun, found.mass_g)
    return ScalingOut(
        scaling=number,
        recipe=begun.recipe.code,
        version=begun.version.number,
        draft=begun.version.state == "draft",
        asked=found.asked,
        assumed=begun.assumed,
        makes=makes,
        limited_by=found.limit,
        lines=rows,
        losses=shown_losses(begun, found),
        rounding=rounding(begun, aims),
        **_figures(begun, found, aims, rows=rows),
        to_make=missing.to_make,
        shopping=shopping(begun, found, missing),
        cautions=cautions(begun, aims, fill),
        flags=flags(begun, aims, rows),
        kettle=begun.kettle and begun.kettle.code,
        fill=fill,
        heat=heats(begun, found.mass_g),
        balance=begun.balance.code,
        loss_cook=percent(begun.losses.loss_cook),
        loss_strain=percent(begun.losses.loss_strain),
        bench=begun.sent.bench and begun.sent.bench.scaling,
        sent=begun.sent.told(),
        notes=begun.notes.as_json(),
    )


def _figures(
    begun: Plan, found: Outcome, aims: Sequence[Target], *, rows: Sequence[TargetOut]
) -> dict[str, Any]:
    """What the trade reasons with, and what it costs."""
    derived = derived_figures(begun, aims)
    money = cost(begun, found, rows)
    priced = isinstance(money, CostFigure)
    return {
        "figures": [*derived.figures, *([money] if priced else [])],
        "undecided": [*derived.undecided, *([] if priced else [money])],
        "not_applicable": derived.not_applicable,
    }
