"""What changes with scalings: one is worked out and frozen."""

from collections.abc import Sequence

from service.office.audit.queries import head
from service.office.documents.actions import freeze_revision
from service.store.numbers import yearly
from service.store.session import WriteSession
from service.workshop.recipes.figures import derive
from service.workshop.scalings.bodies import CostFigure, ScalingIn, ScalingOut
from service.workshop.scalings.cautions import cautions
from service.workshop.scalings.costs import cost
from service.workshop.scalings.makes import Outcome, outcome, shown_outcome
from service.workshop.scalings.picking import lines, rounding, shopping, weighable
from service.workshop.scalings.plan import Plan, percent, plan
from service.workshop.scalings.rules import Target, targets


def scale(session: WriteSession, recipe_code: str, wanted: ScalingIn) -> ScalingOut:
    """Work out a charge and freeze it. Raises UnknownRecipe, UnknownVersion, NotApproved,
    NotInUse, DensityNeeded, KettleTooSmall, TooSmallToWeigh, Invalid."""
    begun = plan(session, recipe_code, wanted)
    found = outcome(begun, wanted)
    aims = targets(begun.charges, found.mass_g, step_g=begun.balance.step_g)
    weighable(begun, aims)
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


def _answer(begun: Plan, found: Outcome, aims: Sequence[Target], *, number: str) -> ScalingOut:
    makes = shown_outcome(begun, found)
    derived = derive(begun.of, begun.charges, begun.notes)
    money = cost(begun, found, aims)
    rows = lines(begun, aims)
    return ScalingOut(
        scaling=number,
        recipe=begun.recipe.code,
        version=begun.version.number,
        draft=begun.version.state == "draft",
        asked=found.asked,
        assumed=begun.assumed,
        makes=makes,
        lines=rows,
        rounding=rounding(begun, aims),
        figures=[*derived.figures, *([money] if isinstance(money, CostFigure) else [])],
        undecided=[*derived.undecided, *([] if isinstance(money, CostFigure) else [money])],
        not_applicable=derived.not_applicable,
        shopping=shopping(begun, found, rows),
        cautions=cautions(begun, found),
        kettle=begun.kettle and begun.kettle.code,
        balance=begun.balance.code,
        loss_cook=percent(begun.losses["loss_cook"]),
        loss_strain=percent(begun.losses["loss_strain"]),
        notes=begun.notes.as_json(),
    )
