"""What the lines of a recipe are made of: families, densities and non-volatiles, each known
from a figure or worked out through the recipe of an intermediate."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.science.rounding import decimal_of, plain, round_significant
from service.store.session import ReadSession
from service.workshop.materials.queries import by_codes, figure, note_of
from service.workshop.materials.rules import properties
from service.workshop.recipes import queries
from service.workshop.recipes.rules import (
    Charge,
    charges,
    default_version,
    role,
    role_of_made,
)


@dataclass(frozen=True, slots=True)
class Known:
    """An input of a calculation: itself a figure, in the property's canonical unit."""

    name: str
    value: Fraction
    unit: str
    basis: str
    shown: str
    more: Mapping[str, Any] = field(default_factory=dict)

    def as_json(self) -> dict[str, Any]:
        told = {"name": self.name, "value": self.shown, "unit": self.unit, "basis": self.basis}
        return {**told, **self.more}


@dataclass(frozen=True, slots=True)
class Part:
    """A portion of the charge that counts as one thing: oil, resin, or neither."""

    line: int
    material: str
    family: str | None
    charged: Fraction
    kept: Fraction

    @property
    def role(self) -> str | None:
        return role(self.family)


@dataclass
class Composition:
    """Answers about the materials of a recipe; `lots` names the lot taken of a material first."""

    session: ReadSession
    lots: Mapping[str, str] = field(default_factory=dict)
    _recipes: dict[str, tuple[str, list[Charge]]] = field(default_factory=dict)

    def parts(self, lines: Sequence[Charge]) -> list[Part]:
        """The lines as parts; an intermediate of oil and resin is taken apart."""
        return [part for line in lines for part in self._parts(line, ())]

    def _parts(self, line: Charge, above: tuple[str, ...]) -> list[Part]:
        family = self.family(line.material, above)
        inner = self._made_of(line.material, above) if family is None else []
        if not inner:
            return [Part(line.line, line.material, family, line.charged, line.kept)]
        return [
            part
            for below in inner
            for part in self._parts(
                Charge(
                    line.line,
                    below.material,
                    line.charged * below.charged,
                    line.kept * below.kept,
                ),
                (*above, line.material),
            )
        ]

    def family(self, material: str, above: tuple[str, ...] = ()) -> str | None:
        """A material's family: its own, or that of the resinate its recipe makes."""
        row = by_codes(self.session, [material])[material]
        if row.family is not None:
            return row.family
        inner = self._made_of(material, above)
        families = [self.family(line.material, (*above, material)) for line in inner]
        return {"resin": "resinate", "neither": "other"}.get(role_of_made(families) or "")

    def autoxidising(self, materials: Iterable[str], above: tuple[str, ...] = ()) -> bool:
        """Whether anything added on purpose, also through an intermediate, can heat rags."""
        rows = by_codes(self.session, materials)
        return any(
            row.autoxidising
            or self.autoxidising(
                [line.material for line in self._made_of(code, above)], (*above, code)
            )
            for code, row in rows.items()
        )

    def non_volatile(self, material: str) -> Known | None:
        """The non-volatile of a material in %, from a figure or its recipe's theory."""
        return self._figure("non_volatile", material) or self._from_recipe("non_volatile", material)

    def density(self, material: str) -> Known | None:
        """The density of a material in kg/l, from a figure or its recipe by additive volumes."""
        return self._figure("density", material) or self._from_recipe("density", material)

    def unknown(self, name: str, lines: Sequence[Charge]) -> list[str]:
        """The materials of these lines of which a property is not known, once each."""
        found = (line.material for line in lines if self._known(name, line.material, ()) is None)
        return list(dict.fromkeys(found))

    def mixed(self, name: str, lines: Sequence[Charge]) -> Fraction | None:
        """Non-volatile by mass or density by additive volumes, or None with an unknown line."""
        return self._mixed(name, lines, ())

    def made_of(self, material: str, above: tuple[str, ...] = ()) -> list[Charge]:
        """The lines of the approved recipe that makes a material; none where there is none, or
        where it stands above itself."""
        return self._made_of(material, above)

    def _known(self, name: str, material: str, above: tuple[str, ...]) -> Known | None:
        return self._figure(name, material) or self._from_recipe(name, material, above)

    def _figure(self, name: str, material: str) -> Known | None:
        lot = self.lots.get(material)
        chain = [("lot", lot)] if lot else []
        label = f"{properties()[name].label.lower()} of {material}"
        return self.known(name, label, *chain, ("material", material))

    def known(self, name: str, label: str, *subjects: tuple[str, str]) -> Known | None:
        """A property of the first of these subjects that has a figure of it, as an input."""
        row = figure(self.session, name, *subjects)
        if row is None:
            return None
        more = {key: text for key, text in note_of(row).items() if key != "basis"}
        if row.subject_kind == "lot":
            more["lot"] = row.subject
        return Known(
            name=label,
            value=Fraction(row.value),
            unit=properties()[name].unit,
            basis=row.basis,
            shown=plain(row.value),
            more=more,
        )

    def _from_recipe(self, name: str, material: str, above: tuple[str, ...] = ()) -> Known | None:
        lines = self._made_of(material, above)
        value = self._mixed(name, lines, (*above, material)) if lines else None
        if value is None:
            return None
        known = properties()[name]
        how = {"non_volatile": "theoretical", "density": "additive volumes"}[name]
        return Known(
            name=f"{known.label.lower()} of {material}",
            value=value,
            unit=known.unit,
            basis="calculated",
            shown=plain(round_significant(decimal_of(value), 4)),
            more={"how": f"{how}, through the recipe {self._recipes[material][0]}"},
        )

    def _mixed(self, name: str, lines: Sequence[Charge], above: tuple[str, ...]) -> Fraction | None:
        total = sum((line.kept for line in lines), Fraction(0))
        weighted = Fraction(0)
        for line in lines:
            known = self._known(name, line.material, above)
            if known is None:
                return None
            by_volume = name == "density"
            weighted += line.kept / known.value if by_volume else line.kept * known.value
        # Minerals are heavier than science.solids takes for a portion, so the sum stands here.
        return total / weighted if name == "density" else weighted / total

    def _made_of(self, material: str, above: tuple[str, ...]) -> list[Charge]:
        # A recipe that was taken back into use could close a circle; what lies on it is unknown.
        if material in above:
            return []
        if material not in self._recipes:
            self._recipes[material] = self._approved(material)
        return self._recipes[material][1]

    def _approved(self, material: str) -> tuple[str, list[Charge]]:
        for made_by in queries.recipes_of_material(self.session, material):
            rows = queries.versions(self.session, made_by.code)
            number = default_version({row.number: row.state for row in rows})
            if number is not None:
                version = next(row for row in rows if row.number == number)
                return f"{made_by.code}, version {number}", charges_of(self.session, version)
        return "", []


def charges_of(
    session: ReadSession,
    version: queries.Version,
    *,
    loss_cook: Decimal | None = None,
    loss_strain: Decimal | None = None,
) -> list[Charge]:
    """The lines of a version for a unit of what comes out, by its own losses or those given."""
    cook = version.loss_cook if loss_cook is None else loss_cook
    strain = version.loss_strain if loss_strain is None else loss_strain
    return charges(
        queries.lines(session, version),
        loss_cook=cook or Decimal(0),
        loss_strain=strain or Decimal(0),
    )
