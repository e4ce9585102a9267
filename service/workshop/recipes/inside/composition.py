"""What the lines of a recipe are made of: families, figures and contents, each known from a figure
or worked out through the recipe of an intermediate."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.science.errors import ScienceError
from service.science.exact import added
from service.science.formulas import plain_formula
from service.science.pots import Substance, binder_of
from service.science.rounding import decimal_of
from service.store.session import ReadSession
from service.workshop.materials.queries import Figure, Material, by_codes, figure, figures_of
from service.workshop.materials.rules import properties
from service.workshop.recipes import queries
from service.workshop.recipes.inside.contents import metals
from service.workshop.recipes.inside.inputs import Known, input_of
from service.workshop.recipes.inside.origins import origins
from service.workshop.recipes.inside.through import THROUGH_RECIPE, through_recipe
from service.workshop.recipes.inside.through import Made as Made
from service.workshop.recipes.inside.working import Rows, Work, rows_of, work
from service.workshop.recipes.rules import Charge, role_of_made

_BY_FIGURE = {
    "density_kg_l": "density",
    "non_volatile_percent": "non_volatile",
    "water_percent": "water",
    "exempt_percent": "exempt",
    "acid_value": "acid_value",
    "assay_percent": "assay",
    "insoluble_percent": "insoluble",
    "ethanol_percent_vol": "ethanol_strength",
}


@dataclass
class Composition:
    """Answers about the materials of a recipe, each asked of the database once.

    `lots` names the lot taken of a material first; `versions` the version that makes it, where
    another than the newest approved one is meant.
    """

    session: ReadSession
    lots: Mapping[str, str] = field(default_factory=dict)
    versions: Mapping[str, int] = field(default_factory=dict)
    _materials: dict[str, Material] = field(default_factory=dict)
    _figures: dict[str, dict[str, Figure]] = field(default_factory=dict)
    _origins: dict[str, Rows | None] = field(default_factory=dict)
    _made: dict[str, Made | None] = field(default_factory=dict)
    _inputs: dict[tuple[str, str], Known | None] = field(default_factory=dict)
    _families: dict[str, str | None] = field(default_factory=dict)
    _through: dict[tuple[str, str], Known | None] = field(default_factory=dict)

    def load(self, codes: Iterable[str], beside: Iterable[str] = ()) -> None:
        """Read what is known of materials and of all that they are made of, at once; of those
        `beside` them only what is known of themselves."""
        wanted = {code for code in codes if code not in self._origins}
        found = origins(self.session, wanted, self.versions) if wanted else {}
        self._origins.update(found)
        new = {code for code in (*found, *beside) if code not in self._materials}
        if new:
            self._materials.update(by_codes(self.session, new))
            self._figures.update(figures_of(self.session, new, self.lots))

    def material(self, code: str) -> Material:
        if code not in self._materials:
            self.load((), beside=[code])
        return self._materials[code]

    def figure_row(self, name: str, code: str) -> Figure | None:
        """The figure of a material or of the lot taken of it, as it was recorded."""
        if code not in self._figures:
            self.load((), beside=[code])
        return self._figures[code].get(name)

    def substance(self, code: str, above: tuple[str, ...] = ()) -> Substance:
        """What the sums know of a material."""
        row = self.material(code)
        values: dict[str, Any] = {
            name: self._value(held, code, above) for name, held in _BY_FIGURE.items()
        }
        return Substance(
            name=code,
            family=self.family(code, above),
            **self._binder(code, above),
            formula=row.formula and plain_formula(row.formula),
            metals=self._metals(row, above),
            **values,
        )

    def _binder(self, code: str, above: tuple[str, ...]) -> dict[str, Decimal]:
        """How much of an intermediate is oil and how much resin, where all of it is known."""
        made = self.made(code, above)
        if made is None or made.work.done is None:
            return {}
        parts = [binder_of(one) for one in made.work.done.contents]
        known = [part for part in parts if part is not None]
        if len(known) < len(parts):
            return {}
        oil, resin = (added(side) for side in zip(*known, strict=True))
        makes = made.work.done.makes
        return {
            "oil_percent": decimal_of(100 * oil / makes),
            "resin_percent": decimal_of(100 * resin / makes),
        }

    def _value(self, name: str, code: str, above: tuple[str, ...]) -> Decimal | None:
        if name != "density" and (row := self.figure_row(name, code)) is not None:
            return row.value
        known = self._known(name, code, above)
        return None if known is None else decimal_of(known.value)

    def as_if(self, code: str, name: str, value: Decimal) -> Substance | None:
        """A material as if one of its figures were another; None for one no sum looks at."""
        field_of = {held: known for known, held in _BY_FIGURE.items()}
        if name not in field_of:
            return None
        changed: dict[str, Any] = {field_of[name]: value}
        return self.substance(code)._replace(**changed)

    def _metals(self, row: Material, above: tuple[str, ...]) -> tuple[tuple[str, Decimal], ...]:
        content = self.figure_row("metal_content", row.code)
        if row.metal and content is not None:
            return ((row.metal, content.value),)
        made = self.made(row.code, above)
        if made is None or made.work.done is None:
            return ()
        found, makes = metals(made.work.done.contents), made.work.done.makes
        return tuple((metal, decimal_of(100 * mass / makes)) for metal, mass in found.items())

    def family(self, material: str, above: tuple[str, ...] = ()) -> str | None:
        """A material's family: its own, or that of the resinate its recipe makes."""
        if material not in self._families:
            self._families[material] = self._family(material, above)
        return self._families[material]

    def _family(self, material: str, above: tuple[str, ...]) -> str | None:
        row = self.material(material)
        if row.family is not None:
            return row.family
        inner = self.made_of(material, above)
        families = [self.family(line.material, (*above, material)) for line in inner]
        return {"resin": "resinate", "neither": "other"}.get(role_of_made(families) or "")

    def autoxidising(self, materials: Iterable[str], above: tuple[str, ...] = ()) -> bool:
        """Whether anything added on purpose, also through an intermediate, can heat rags."""
        codes = list(materials)
        self.load(codes)
        return any(
            self.material(code).autoxidising
            or self.autoxidising(
                [line.material for line in self.made_of(code, above)], (*above, code)
            )
            for code in codes
        )

    def autoxidising_or_unknown(self, material: str) -> bool | None:
        """Whether a material can heat rags, by its own flag or by what it is made of."""
        if self.autoxidising([material]):
            return True
        made = self.made_of(material)
        return False if made else self.material(material).autoxidising

    def labelled(self, name: str, material: str, label: str) -> Known | None:
        """A property of a material as an input, under a name of its own."""
        row = self.figure_row(name, material)
        return None if row is None else input_of(row, label)

    def non_volatile(self, material: str) -> Known | None:
        """The non-volatile of a material in %, from a figure or its recipe's theory."""
        return self._known("non_volatile", material, ())

    def density(self, material: str) -> Known | None:
        """The density of a material in kg/l, from a figure or its recipe by additive volumes."""
        return self._known("density", material, ())

    def value(self, name: str, material: str) -> Known | None:
        """Any property of a material, as an input of a calculation."""
        return self._known(name, material, ())

    def density_figure(self, material: str) -> Decimal | None:
        """The density of what is made, by its figure alone: a line made up to a volume needs it."""
        known = self._figure("density", material)
        return None if known is None else decimal_of(known.value)

    def unknown(self, name: str, lines: Sequence[Charge]) -> list[str]:
        """The materials of these lines of which a property is not known, once each."""
        found = (line.material for line in lines if self._known(name, line.material, ()) is None)
        return list(dict.fromkeys(found))

    def mixed(self, name: str, lines: Sequence[Charge]) -> Fraction | None:
        """Non-volatile by mass or density by additive volumes, or None with an unknown line."""
        self.load(line.material for line in lines)
        weighted, mass = Fraction(0), Fraction(0)
        for line in lines:
            known = self._known(name, line.material, ())
            if known is None:
                return None
            mass += line.kept
            by_volume = name == "density"
            weighted += line.kept / known.value if by_volume else line.kept * known.value
        # Minerals are heavier than science.solids takes for a portion, so the sum stands here.
        return mass / weighted if name == "density" else weighted / mass

    def made_of(self, material: str, above: tuple[str, ...] = ()) -> list[Charge]:
        """The lines of the approved recipe that makes a material; none where there is none, or
        where it stands above itself."""
        made = self.made(material, above)
        return list(made.work.charges) if made else []

    def made(self, material: str, above: tuple[str, ...] = ()) -> Made | None:
        """The approved version that makes a material, worked through."""
        # A recipe that was taken back into use could close a circle; what lies on it is unknown.
        if material in above or (material in self._origins and not self._origins[material]):
            return None
        if material not in self._made:
            self._made[material] = None  # while it is worked out, so that a circle ends
            self._made[material] = self._approved(material, above)
        return self._made[material]

    def _approved(self, material: str, above: tuple[str, ...]) -> Made | None:
        self.load([material])
        rows = self._origins[material]
        if rows is None:
            return None
        try:
            found = self.work_rows(
                rows, (*above, material), makes_density_kg_l=self.density_figure(material)
            )
        except ScienceError:  # with today's figures it could not be made: what is in it is unknown
            return None
        return Made(rows.version.recipe, rows.version.number, found)

    def work(self, version: queries.Version) -> Work:
        """A version worked through with what is known today."""
        rows = rows_of(self.session, version)
        if all(line.rule != "volume" for line in rows.lines):
            return self.work_rows(rows)
        # Only a line that is made up to a volume goes by the density of what is made.
        makes = queries.recipe(self.session, version.recipe).makes
        return self.work_rows(rows, makes_density_kg_l=self.density_figure(makes))

    def work_rows(
        self,
        rows: Rows,
        above: tuple[str, ...] = (),
        instead: Mapping[str, Substance] | None = None,
        **more: Any,
    ) -> Work:
        """The same of rows that were read before, or with substances in the place of those known;
        `more` as `working.work` has it."""
        self.load(line.material for line in rows.lines)
        found = {line.material: self.substance(line.material, above) for line in rows.lines}
        return work(rows, {**found, **(instead or {})}, **more)

    def _known(self, name: str, material: str, above: tuple[str, ...]) -> Known | None:
        return self._figure(name, material) or self._from_recipe(name, material, above)

    def _figure(self, name: str, material: str) -> Known | None:
        if (name, material) not in self._inputs:
            row, slope = (self.figure_row(each, material) for each in (name, "expansion"))
            label = f"{properties()[name].label.lower()} of {material}"
            self._inputs[name, material] = None if row is None else input_of(row, label, slope)
        return self._inputs[name, material]

    def known(self, name: str, label: str, *subjects: tuple[str, str]) -> Known | None:
        """A property of the first of these subjects that has a figure of it, as an input."""
        row = figure(self.session, name, *subjects)
        return None if row is None else input_of(row, label)

    def _from_recipe(self, name: str, material: str, above: tuple[str, ...]) -> Known | None:
        made = self.made(material, above) if name in THROUGH_RECIPE else None
        if made is None or made.work.done is None:
            return None
        if (name, material) not in self._through:
            self._through[name, material] = through_recipe(name, material, made)
        return self._through[name, material]
