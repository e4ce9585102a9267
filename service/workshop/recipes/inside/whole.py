"""What comes out of a version, and what leaves on the way, as they are shown."""

from fractions import Fraction

from service.science.rounding import decimal_of, plain, round_significant
from service.web.fields import Amount
from service.workshop.recipes.bodies.contents import LeftOut, PortionOut
from service.workshop.recipes.figures import Derived
from service.workshop.recipes.figures.yields import left
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.exploding import Portion, opened, portions
from service.workshop.recipes.inside.working import Work

_DIGITS = 4


def composition(of: Composition, work: Work, into: Derived) -> list[PortionOut]:
    """The components of the whole, their notes and what is undecided of them added to `into`."""
    found = opened(of, work)
    if found.missing:
        into.lacks("composition", found.missing)
    return [_portion(each, into) for each in portions(of, found)]


def _portion(each: Portion, into: Derived) -> PortionOut:
    note = None
    if each.how is not None:
        note = into.notes.add("composition", {"basis": "calculated", "how": each.how})
    return PortionOut.model_validate(
        {
            "component": each.component,
            "name": each.name,
            "family": each.family,
            "share": _percent(each.share),
            "basis": "calculated",
            "from": list(each.materials),
            "note": note,
        }
    )


def losses(work: Work) -> list[LeftOut]:
    """What leaves in the order of the work; nothing where it could not be worked through."""
    if work.done is None:
        return []
    return [
        LeftOut.model_validate({**one._asdict(), "cause": one.what, "share": _percent(share)})
        for one, share in left(work.done)
    ]


def _percent(share: Fraction) -> Amount:
    return Amount(value=plain(round_significant(decimal_of(100 * share), _DIGITS)), unit="%")
