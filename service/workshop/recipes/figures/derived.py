"""The figures that were derived, what is undecided and what does not apply."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from service.science.rounding import plain, round_significant
from service.web.footnotes import Footnotes
from service.workshop.materials.bodies import NamedFigure
from service.workshop.materials.rules import metals
from service.workshop.recipes.bodies import NotApplicableOut, Undecided

LABELS = {
    "oil_to_resin": "Oil to resin, as charged",
    "oil_to_resin_can": "Oil to resin, in the can",
    "oil_percent": "Oil in the binder, as charged",
    "oil_length_us_gal": "Oil length",
    "oil_length_class": "Class of the oil length, by US gallons as in handbooks",
    "non_volatile": "Non-volatile, theoretical",
    "density": "Density at 20 °C, theoretical",
    "volume_solids": "Solids by volume, theoretical",
    "voc_by_mass": "VOC by mass, less water",
    "voc_ready_to_use": "VOC, ready to use (2004/42/EC)",
    "voc_less_water_exempt": "VOC, less water and exempt compounds (US)",
    "voc_of_material": "VOC of the material, less exempt compounds by mass (US)",
    "voc_per_solids": "VOC per volume of solids (US)",
    "metal_on_oil": "Metal on the oil",
    **{f"metal_on_oil_{metal.lower()}": f"{metal} on the oil" for metal in metals()},
    "acid_number": "Acid number, estimated",
    "loss_total": "Loss, all told",
    "composition": "Composition",
}
DIGITS = 3
Note = tuple[str, dict[str, Any]]


@dataclass
class Derived:
    """Figures, what is still undecided, and what does not apply; notes stand in `notes`."""

    notes: Footnotes
    figures: list[NamedFigure] = field(default_factory=list)
    undecided: list[Undecided] = field(default_factory=list)
    not_applicable: list[NotApplicableOut] = field(default_factory=list)

    def figure(self, name: str, value: Decimal, *, unit: str, note: Note) -> None:
        """Add a calculated figure and its footnote."""
        self._add(name, plain(round_significant(value, DIGITS)), unit, note)

    def word(self, name: str, value: str, *, note: Note) -> None:
        """Add what is named rather than counted, and its footnote."""
        self._add(name, value, "1", note)

    def _add(self, name: str, value: str, unit: str, note: Note) -> None:
        told = {"basis": "calculated", **{k: v for k, v in note[1].items() if v}}
        self.figures.append(
            NamedFigure(
                name=name,
                label=LABELS[name],
                value=value,
                unit=unit,
                basis="calculated",
                note=self.notes.add(note[0], told),
            )
        )

    def lacks(self, name: str, missing: Iterable[str]) -> None:
        """Say what a figure still needs."""
        needs = list(dict.fromkeys(missing))
        self.undecided.append(Undecided(name=name, label=LABELS[name], missing=needs))

    def without(self, names: Sequence[str], reason: str) -> None:
        """Say why there are no such figures."""
        self.not_applicable += [
            NotApplicableOut(name=name, label=LABELS[name], reason=reason) for name in names
        ]
