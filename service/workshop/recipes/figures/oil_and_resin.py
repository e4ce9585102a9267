"""Oil to resin and oil length: of what is charged, and oil to resin of what is in the can."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from service.science import ratios
from service.science.errors import ScienceError
from service.science.exact import added
from service.science.formulation import OXYGEN
from service.science.pots import Component, solid_of, total
from service.science.rounding import decimal_of
from service.workshop.recipes.figures.can import Can
from service.workshop.recipes.figures.derived import Derived
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.inputs import Known, Part
from service.workshop.recipes.inside.portions import parts
from service.workshop.recipes.rules import Charge, role

_AS_CHARGED = ("oil_to_resin", "oil_percent", "oil_length_us_gal", "oil_length_class")
NAMES = (*_AS_CHARGED, "oil_to_resin_can")
_LENGTH = ("oil_length_us_gal", "oil_length_class")
_US_GAL = "US gallons of oil at 20 °C per 100 lb of resin"
_CONVENTION = "us_gal_handbook"
_IN_THE_CAN = "oils over resins as they are left, resinates made in the pot counted as resin"


@dataclass(frozen=True, slots=True)
class Binder:
    """The oils and the resins of a charge, each with the mass that counts."""

    oils: tuple[tuple[Part, Fraction], ...]
    resins: tuple[tuple[Part, Fraction], ...]
    inputs: tuple[Known, ...]  # what of a balsam is resin

    @property
    def ratio(self) -> Fraction:
        oil = added(mass for _, mass in self.oils)
        return oil / added(mass for _, mass in self.resins)


def binder(of: Composition, charge: Sequence[Charge]) -> Binder | list[str]:
    """The binder of a charge, or what is missing to tell it."""
    counted = parts(of, charge)
    missing = [f"family of {part.material}" for part in counted if part.role is None]
    oils = tuple((part, part.charged) for part in counted if part.role == "oil")
    resins = []
    inputs = []
    for part in (part for part in counted if part.role == "resin"):
        mass = part.charged
        if part.family == "balsam":  # counts by its resin only
            known = of.non_volatile(part.material)
            if known is None:
                missing.append(f"non-volatile of {part.material}")
                continue
            inputs.append(known)
            mass = mass * known.value / 100
        resins.append((part, mass))
    if missing:
        return list(dict.fromkeys(missing))
    return Binder(oils, tuple(resins), tuple(inputs))


def absent(found: Binder) -> str | None:
    """Why a binder has no oil length, or None."""
    return _absent(bool(found.oils), bool(found.resins))


def _absent(oil: bool, resin: bool) -> str | None:
    if not resin:
        return "there is no resin in it"
    return None if oil else "there is no drying oil in it"


def charged(of: Composition, charge: Sequence[Charge], into: Derived) -> None:
    """The figures of the binder as it is charged."""
    found = binder(of, charge)
    if isinstance(found, list):
        for name in _AS_CHARGED:
            into.lacks(name, found)
        return
    if reason := absent(found):
        into.without(_AS_CHARGED, reason)
        return
    told = _told(found)
    ratio = found.ratio
    into.figure("oil_to_resin", decimal_of(ratio), unit="1", note=("ratio", told))
    percent = decimal_of(100 * ratio / (1 + ratio))
    how = "100 x oil / (oil + resin), by mass"
    into.figure("oil_percent", percent, unit="%", note=("binder", {**told, "how": how}))
    _oil_length(of, found, into)


def _told(found: Binder) -> dict[str, Any]:
    oils, resins = (
        " + ".join(dict.fromkeys(_place(part) for part, _ in side))
        for side in (found.oils, found.resins)
    )
    how = f"{_bracketed(oils)} / {_bracketed(resins)}"
    return {"how": how, "from": [known.as_json() for known in found.inputs]}


def _place(part: Part) -> str:
    share = " (its resin)" if part.family == "balsam" else ""
    return f"line {part.line}{share}"


def _bracketed(text: str) -> str:
    return f"({text})" if " + " in text else text


def _oil_length(of: Composition, found: Binder, into: Derived) -> None:
    densities = {part.material: of.density(part.material) for part, _ in found.oils}
    missing = [f"density of {code}" for code, known in densities.items() if known is None]
    known = {code: held for code, held in densities.items() if held is not None}
    if missing:
        _no_length(into, missing)
        return
    oils = [
        ratios.Oil(decimal_of(mass), decimal_of(known[part.material].value))
        for part, mass in found.oils
    ]
    try:
        resins = [decimal_of(mass) for _, mass in found.resins]
        length = ratios.oil_length(oils, resins, basis="as charged")
    except ScienceError as error:  # a density that no drying oil has
        _no_length(into, [str(error)])
        return
    inputs = [held.as_json() for held in (*known.values(), *found.inputs)]
    note = {
        "how": _US_GAL,
        "from": inputs,
        "source": "NIST SP 811, Appendix B, for the units",
        "valid": "; ".join(length.notes),
    }
    gallons = length.us_gal_per_100_lb
    into.figure("oil_length_us_gal", gallons, unit="US gal/100 lb", note=("length", note))
    _class(length, inputs, into)


def _no_length(into: Derived, missing: Sequence[str]) -> None:
    for name in _LENGTH:
        into.lacks(name, missing)


def _class(length: ratios.OilLength, inputs: list[dict[str, Any]], into: Derived) -> None:
    """The class by one convention, and in its note by all of them."""
    words = {each.convention: each.length_class for each in length.classes}
    told = ", ".join(f"{name} {word}" for name, word in words.items())
    note = {
        "how": f"as charged, by {_CONVENTION}; the conventions do not agree: {told}",
        "from": inputs,
        "source": "common practice of the trade",
    }
    into.word("oil_length_class", words[_CONVENTION], note=("class", note))


def canned(can: Can, into: Derived) -> None:
    """Oil to resin of what is left of both."""
    name = "oil_to_resin_can"
    leaves = can.by_family.contents
    resins = [(one, _resin(one)) for one in leaves if role(one.family) == "resin"]
    missing = [f"non-volatile of {one.name}" for one, mass in resins if mass is None]
    missing += [f"family of {one.name}" for one in leaves if one.family is None]
    if missing := [*can.by_family.missing, *missing]:
        into.lacks(name, missing)
        return
    oil = oils(leaves)
    resin = added(mass for _, mass in resins if mass is not None)
    if reason := _absent(bool(oil), bool(resin)):
        into.without((name,), reason)
        return
    balsams = [one for one, _ in resins if one.family == "balsam"]
    said = ["oxygen taken up counts as oil"] if _oxygen(leaves) else []
    note = can.note(_IN_THE_CAN, can.known(balsams, "non_volatile"), said=said)
    into.figure(name, decimal_of(oil / resin), unit="1", note=("ratio_can", note))


def _resin(one: Component) -> Fraction | None:
    """What of a resin counts: of a balsam what does not evaporate."""
    return solid_of(one) if one.family == "balsam" else one.mass


def oils(contents: Sequence[Component]) -> Fraction:
    """The drying oils, with the oxygen that they took up."""
    drying = total(one for one in contents if role(one.family) == "oil")
    return drying + _oxygen(contents) if drying else drying


def _oxygen(contents: Sequence[Component]) -> Fraction:
    return total(one for one in contents if one.family == OXYGEN)
