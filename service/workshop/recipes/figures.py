"""What the trade reasons with, worked out from a charge: oil to resin, oil length, non-volatile."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.science import ratios
from service.science.errors import ScienceError
from service.science.rounding import decimal_of, plain, round_significant
from service.web.footnotes import Footnotes
from service.workshop.materials.bodies import NamedFigure
from service.workshop.recipes.bodies import NotApplicableOut, Undecided
from service.workshop.recipes.composition import Composition, Known, Part
from service.workshop.recipes.rules import Charge

LABELS = {
    "oil_to_resin": "Oil to resin, as charged",
    "oil_percent": "Oil in the binder, as charged",
    "oil_length_us_gal": "Oil length",
    "non_volatile": "Non-volatile, theoretical",
}
DIGITS = 3
_US_GAL = "US gallons of oil at 20 °C per 100 lb of resin"


@dataclass
class Derived:
    """Figures, what is still undecided, and what does not apply; notes stand in `notes`."""

    notes: Footnotes
    figures: list[NamedFigure] = field(default_factory=list)
    undecided: list[Undecided] = field(default_factory=list)
    not_applicable: list[NotApplicableOut] = field(default_factory=list)

    def figure(
        self, name: str, value: Decimal, *, unit: str, note: tuple[str, dict[str, Any]]
    ) -> None:
        """Add a calculated figure and its footnote."""
        told = {"basis": "calculated", **{k: v for k, v in note[1].items() if v}}
        self.figures.append(
            NamedFigure(
                name=name,
                label=LABELS[name],
                value=plain(round_significant(value, DIGITS)),
                unit=unit,
                basis="calculated",
                note=self.notes.add(note[0], told),
            )
        )

    def lacks(self, name: str, missing: Sequence[str]) -> None:
        """Say what a figure still needs."""
        self.undecided.append(Undecided(name=name, label=LABELS[name], missing=list(missing)))

    def without(self, name: str, reason: str) -> None:
        """Say why there is no such figure."""
        self.not_applicable.append(NotApplicableOut(name=name, label=LABELS[name], reason=reason))


@dataclass(frozen=True, slots=True)
class Binder:
    """The oils and the resins of a charge, each with the mass that counts."""

    oils: tuple[tuple[Part, Fraction], ...]
    resins: tuple[tuple[Part, Fraction], ...]
    inputs: tuple[Known, ...]  # what of a balsam is resin

    @property
    def ratio(self) -> Fraction:
        oil = sum((mass for _, mass in self.oils), Fraction(0))
        return oil / sum((mass for _, mass in self.resins), Fraction(0))


def derive(of: Composition, charge: Sequence[Charge], notes: Footnotes) -> Derived:
    """The derived figures of a charge, exact shares or weighed masses alike."""
    found = Derived(notes)
    _binder_figures(of, charge, found)
    _non_volatile(of, charge, found)
    return found


def binder(of: Composition, charge: Sequence[Charge]) -> Binder | list[str]:
    """The binder of a charge, or what is missing to tell it."""
    parts = of.parts(charge)
    missing = [f"family of {part.material}" for part in parts if part.role is None]
    oils = tuple((part, part.charged) for part in parts if part.role == "oil")
    resins = []
    inputs = []
    for part in (part for part in parts if part.role == "resin"):
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
    if not found.resins:
        return "there is no resin in it"
    return None if found.oils else "there is no drying oil in it"


def _binder_figures(of: Composition, charge: Sequence[Charge], into: Derived) -> None:
    names = ("oil_to_resin", "oil_percent", "oil_length_us_gal")
    found = binder(of, charge)
    if isinstance(found, list):
        for name in names:
            into.lacks(name, found)
        return
    if reason := absent(found):
        for name in names:
            into.without(name, reason)
        return
    told = _told(found)
    ratio = found.ratio
    into.figure("oil_to_resin", decimal_of(ratio), unit="1", note=("ratio", told))
    percent = decimal_of(100 * ratio / (1 + ratio))
    how = "100 x oil / (oil + resin), by mass"
    note = {**told, "how": how}
    into.figure("oil_percent", percent, unit="%", note=("binder", note))
    _oil_length(of, found, into)


def _told(found: Binder) -> dict[str, Any]:
    oils, resins = (
        " + ".join(dict.fromkeys(_place(part) for part, _ in side))
        for side in (found.oils, found.resins)
    )
    how = f"{_bracketed(oils)} / {_bracketed(resins)}"
    inputs = [known.as_json() for known in found.inputs]
    return {"how": how, "from": inputs}


def _place(part: Part) -> str:
    share = " (its resin)" if part.family == "balsam" else ""
    return f"line {part.line}{share}"


def _bracketed(text: str) -> str:
    return f"({text})" if " + " in text else text


def _oil_length(of: Composition, found: Binder, into: Derived) -> None:
    name = "oil_length_us_gal"
    densities = {part.material: of.density(part.material) for part, _ in found.oils}
    missing = [f"density of {code}" for code, known in densities.items() if known is None]
    if missing:
        into.lacks(name, missing)
        return
    known = {code: held for code, held in densities.items() if held is not None}
    oils = [
        ratios.Oil(decimal_of(mass), decimal_of(known[part.material].value))
        for part, mass in found.oils
    ]
    try:
        resins = [decimal_of(mass) for _, mass in found.resins]
        length = ratios.oil_length(oils, resins, basis="as charged")
    except ScienceError as error:  # a density that no drying oil has
        into.lacks(name, [str(error)])
        return
    inputs = [held.as_json() for held in (*known.values(), *found.inputs)]
    note = {"how": _US_GAL, "from": inputs, "source": "NIST SP 811, Appendix B, for the units"}
    into.figure(name, length.us_gal_per_100_lb, unit="US gal/100 lb", note=("length", note))


def _non_volatile(of: Composition, charge: Sequence[Charge], into: Derived) -> None:
    value = of.mixed("non_volatile", charge)
    if value is None:
        missing = of.unknown("non_volatile", charge)
        into.lacks("non_volatile", [f"non-volatile of {code}" for code in missing])
        return
    materials = dict.fromkeys(line.material for line in charge)
    known = [of.non_volatile(material) for material in materials]
    note = {
        "how": "theoretical: what was charged less the cooking loss, over all",
        "from": [held.as_json() for held in known if held is not None],
        "valid": "approximation; measure it",
    }
    into.figure("non_volatile", decimal_of(value), unit="%", note=("nv", note))
