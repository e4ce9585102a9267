"""What the acid number would be by what is in it."""

from service.science.formulation import HOT
from service.science.rounding import decimal_of
from service.workshop.recipes.figures.can import Can
from service.workshop.recipes.figures.derived import Derived
from service.workshop.recipes.inside.contents import acid_number

NAME = "acid_number"
_REACTED = "not meaningful after a reaction: measure it"
_ALKALI = "the alkali in it takes acid, which is not counted"


def figure(can: Can, into: Derived) -> None:
    """The acid of all that is in the can; a resinate has none but what its metal left."""
    leaves = can.by_family.contents
    found = acid_number(leaves)
    if found is None:
        into.without((NAME,), "nothing acid is in it")
        return
    missing = [*can.by_family.missing, *(found if isinstance(found, list) else ())]
    if isinstance(found, list) or missing:
        into.lacks(NAME, missing)
        return
    said = [_REACTED] if _reacted(can) else []
    said += [_ALKALI] if any(one.family == "base" for one in leaves) else []
    acid = [one for one in leaves if one.substance and one.substance.acid_value is not None]
    note = can.note("the acid of each part by its share", can.known(acid, "acid_value"), said=said)
    into.figure(NAME, decimal_of(found.value), unit="mg KOH/g", note=("acid", note))


def _reacted(can: Can) -> bool:
    """Whether resin acid took metal in it, or something in it was cooked."""
    cooked = any(pot.contents for pot in can.done.pots if pot.stage in HOT)
    return cooked or any(one.substance is None for one in can.by_family.contents)
