"""The metal on the oil, metal by metal, of driers and resinates together."""

from decimal import Decimal

from service.science.driers import drier_level, drier_metals
from service.science.rounding import decimal_of
from service.workshop.recipes.figures.can import Can
from service.workshop.recipes.figures.derived import Derived
from service.workshop.recipes.figures.oil_and_resin import oils
from service.workshop.recipes.inside.contents import metals

NAME = "metal_on_oil"
_HOLD_METAL = frozenset({"drier", "resinate"})
_HALF = Decimal(50)  # the level is that of a drier twice as heavy as its metal


def figures(can: Can, into: Derived) -> None:
    """Each metal that is in it in % of the drying oil."""
    leaves = can.by_family.contents
    missing = [
        f"metal content of {one.name}"
        for one in leaves
        if one.family in _HOLD_METAL and not one.metals
    ]
    missing += [f"family of {one.name}" for one in leaves if one.family is None]
    if missing := [*can.by_family.missing, *missing]:
        into.lacks(NAME, missing)
        return
    found, oil = metals(leaves), oils(leaves)
    if not found:
        into.without((NAME,), "there is no drier and no resinate in it")
        return
    names = {metal: f"{NAME}_{metal.lower()}" for metal in found}
    if not oil:
        into.without(tuple(names.values()), "there is no drying oil in it")
        return
    for metal, mass in found.items():
        percent = decimal_of(100 * mass / oil)
        said = _said(metal, decimal_of(2 * mass), oil=decimal_of(oil))
        holding = [one for one in leaves if metal in dict(one.metals)]
        note = can.note(
            f"{metal} of all driers and resinates over the drying oils in the can",
            can.known(holding, "metal_content"),
            said=said,
            source="usual levels: common practice of the trade",
        )
        into.figure(names[metal], percent, unit="%", note=(names[metal], note))


def _said(metal: str, twice: Decimal, *, oil: Decimal) -> tuple[str, ...]:
    """What is known of a level of this metal, where it is a metal of driers."""
    if metal not in drier_metals() or not twice:
        return ()
    return drier_level(twice, _HALF, metal=metal, basis_g=oil, basis="oil").notes
