"""How much of it stays, how heavy a litre of it is, and how much of that litre stays."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from service.science import volume_solids
from service.science.errors import ScienceError
from service.science.rounding import decimal_of
from service.workshop.recipes.figures.can import Can, whole
from service.workshop.recipes.figures.derived import Derived
from service.workshop.recipes.inside import contents
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.contents import Sum
from service.workshop.recipes.rules import Charge

NAMES = ("non_volatile", "density", "volume_solids")
_SOLID = "theoretical: what was charged less what is lost, over all"
_REACTION_STAYS = "all that a reaction made stays"
NOTHING_EVAPORATES = "nothing in it evaporates"
_OIML = "OIML R 22 (1975), general formula"


class Liquid(NamedTuple):
    """What the sums over a litre go by; what is None could not be worked out, and why."""

    non_volatile: Decimal | None
    density: Decimal | None
    volume_solids: Decimal | None
    missing: tuple[str, ...]  # for non-volatile and density
    no_volume_solids: tuple[str, ...]

    @property
    def inputs(self) -> list[dict[str, Any]]:
        """Non-volatile and density, as what other figures go by."""
        held = (("non-volatile", self.non_volatile, "%"), ("density", self.density, "kg/l"))
        return [whole(f"{name} of it", value, unit) for name, value, unit in held if value]


def non_volatile_charged(of: Composition, charge: Sequence[Charge], into: Derived) -> None:
    """The non-volatile of a charge as it was weighed in, where its contents are not at hand."""
    value = of.mixed("non_volatile", charge)
    if value is None:
        missing = of.unknown("non_volatile", charge)
        into.lacks("non_volatile", [f"non-volatile of {code}" for code in missing])
        return
    materials = dict.fromkeys(line.material for line in charge)
    known = [of.non_volatile(material) for material in materials]
    note = {
        "how": _SOLID,
        "from": [held.as_json() for held in known if held is not None],
        "valid": "approximation; measure it",
    }
    into.figure("non_volatile", decimal_of(value), unit="%", note=("nv", note))


def figures(can: Can, into: Derived) -> Liquid:
    """Non-volatile, density and volume solids of what is in the can."""
    solid = contents.non_volatile(can.contents)
    dense = contents.density(can.contents, can.charged)
    reacted = any(one.substance is None for one in can.contents)
    note = can.note(
        _SOLID,
        can.known(can.contents, "non_volatile"),
        said=[_REACTION_STAYS] if reacted else [],
    )
    _figure("non_volatile", solid, unit="%", note=("nv", note), into=into)
    said = [] if isinstance(dense, list) else dense.said
    note = can.note(
        "mass over the volumes of all that is in it",
        can.known(can.contents, "density", "ethanol_strength"),
        said=said,
        source=by_table(said),
    )
    _figure("density", dense, unit="kg/l", note=("density", note), into=into)
    missing = [*(solid if isinstance(solid, list) else ()), *_lacking(dense)]
    if isinstance(solid, list) or isinstance(dense, list):
        into.lacks("volume_solids", missing)
        return Liquid(_value(solid), _value(dense), None, tuple(missing), tuple(missing))
    return _volume_solids(can, decimal_of(solid.value), decimal_of(dense.value), into)


def by_table(said: Iterable[str]) -> str:
    """The source of the table of ethanol and water, where what is said leans on it."""
    return _OIML if any(contents.R_22 in each for each in said) else ""


def _lacking(found: Sum | list[str]) -> list[str]:
    return found if isinstance(found, list) else []


def _value(found: Sum | list[str]) -> Decimal | None:
    return None if isinstance(found, list) else decimal_of(found.value)


def _figure(
    name: str, found: Sum | list[str], *, unit: str, note: tuple[str, dict[str, Any]], into: Derived
) -> None:
    if isinstance(found, list):
        into.lacks(name, found)
    else:
        into.figure(name, decimal_of(found.value), unit=unit, note=note)


def _volume_solids(can: Can, solid: Decimal, density: Decimal, into: Derived) -> Liquid:
    name = "volume_solids"
    if solid in (0, 100):
        reason = NOTHING_EVAPORATES if solid else "nothing in it stays"
        into.without((name,), reason)
        return Liquid(solid, density, None, (), (reason,))
    solvents = contents.evaporating(can.apart.contents)
    if isinstance(solvents, list):
        into.lacks(name, solvents)
        return Liquid(solid, density, None, (), tuple(solvents))
    try:
        found = volume_solids.volume_solids(
            density, solid, solvent_density_kg_l=decimal_of(solvents.value)
        )
    except ScienceError as error:  # figures that cannot all be true
        into.lacks(name, [str(error)])
        return Liquid(solid, density, None, (), (str(error),))
    percent = found.volume_solids_percent_vol
    liquid = Liquid(solid, density, percent, (), ())
    dense = whole("density of its solvents", decimal_of(solvents.value), "kg/l")
    note = can.note(
        "what is left of a litre when all its solvents are gone",
        [*liquid.inputs, dense],
        said=(found.why, *solvents.said),
        source=by_table(solvents.said),
    )
    into.figure(name, percent, unit="% v/v", note=("volume_solids", note))
    return liquid
