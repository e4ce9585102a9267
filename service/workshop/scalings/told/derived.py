"""The figures of a charge: of the lines as they fell, with the loss that it goes by."""

from collections.abc import Mapping, Sequence
from typing import Any

from service.science.rounding import decimal_of, plain, round_significant
from service.web.footnotes import Footnotes
from service.workshop.materials.bodies import NamedFigure
from service.workshop.recipes.figures import Derived, derive
from service.workshop.recipes.figures.can import BY_SHARES
from service.workshop.recipes.figures.yields import NAME as LOSS
from service.workshop.scalings.charge.bench import fallen, work_of_fallen
from service.workshop.scalings.charge.losses import lost
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.rules import Target

_DIGITS = 3
_BY_WEIGHTS = "by the weights as they fell"
_CANNOT_BE = "weights with which it can be reckoned: what fell cannot react as planned"


def derived_figures(plan: Plan, aims: Sequence[Target]) -> Derived:
    """What the trade reasons with."""
    charges, work = fallen(plan, aims), work_of_fallen(plan, aims)
    if work is plan.work and "loss" not in plan.assumed:
        return derive(plan.of, charges, plan.notes, work=work)
    # Its notes are told anew below, so that none stands there to which no figure points.
    found = derive(plan.of, charges, aside := Footnotes(), work=work)
    if work is None:
        _say_what_is_out(plan, found)
    told = Derived(plan.notes, [], found.undecided, found.not_applicable)
    told.figures += [_told(plan, each, aside.as_json()) for each in found.figures]
    return told


def _say_what_is_out(plan: Plan, found: Derived) -> None:
    """Name the figures that the plan has, and that these weights do not."""
    planned = derive(plan.of, plan.charges, Footnotes(), work=plan.work)
    there = {each.name for each in found.figures}
    for name in dict.fromkeys(each.name for each in planned.figures):
        if name not in there:
            found.lacks(name, [_CANNOT_BE])


def _told(plan: Plan, each: NamedFigure, noted: Mapping[str, dict[str, Any]]) -> NamedFigure:
    """A figure with its footnote, as what it goes by in this charge."""
    changed: dict[str, Any] = {}
    note = dict(noted[each.note]) if each.note else {}
    if each.name == LOSS and "loss" in plan.assumed:
        value = round_significant(decimal_of(100 * lost(plan.charges)), _DIGITS)
        changed = {"value": plain(value), "basis": "measured"}
        note = {"basis": "measured", "method": plan.assumed["loss"]}
    elif plan.sent.bench is not None and "how" in note:
        note["how"] = note["how"].replace(BY_SHARES, _BY_WEIGHTS)
    if note:
        changed["note"] = plan.notes.add(each.note or each.name, note)
    return each.model_copy(update=changed)
