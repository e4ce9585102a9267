"""Substances of an invented shelf, and recipes of them as the sums take them."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.science.derived_lines import Around, Derivation, Derived, derived
from service.science.formulation import (
    DeclaredLoss,
    Formula,
    FormulaLine,
    FormulaStage,
    Reading,
    Worked,
    worked,
)
from service.science.pots import Component, Substance, weighed_in
from service.science.rosin_soap import KOH_MG_PER_MOL

ROSIN = Substance("ROSIN", "resin", non_volatile_percent=Decimal(100), acid_value=Decimal(165))
HARD = ROSIN._replace(name="HARD", acid_value=Decimal(90))
OIL = Substance("OIL", "drying-oil", non_volatile_percent=Decimal(100))
SPIRIT = Substance("SPIRIT", "solvent", non_volatile_percent=Decimal(0))
WATER = Substance("WATER", "water")
DRIER = Substance("DRIER", "drier", metals=(("Co", Decimal(6)),))
SHELLAC = Substance("SHELLAC", "resin", non_volatile_percent=Decimal(100))
ALCOHOL = Substance(
    "ALCOHOL", "solvent", density_kg_l=Decimal("0.785"), ethanol_percent_vol=Decimal(96)
)


def reagent(formula: str, assay: str = "100", *, family: str = "oxide") -> Substance:
    """A reagent under its own formula."""
    return Substance(formula, family, formula=formula, assay_percent=Decimal(assay))


def part(line: int, substance: Substance, amount: Any, stage: str = "cook") -> FormulaLine:
    """A line in parts."""
    return FormulaLine(line, substance.name, "parts", Decimal(amount), stage)


def rule(
    line: int, substance: Substance, name: str, amount: Any = None, stage: str = "cook", **more: Any
) -> FormulaLine:
    """A line that follows from others."""
    figure = None if amount is None else Decimal(amount)
    return FormulaLine(
        line, substance.name, "rule", figure, stage, Derivation(line, name, figure, **more)
    )


def stage(name: str, **losses: Any) -> FormulaStage:
    """A stage with its declared losses in percent by cause."""
    return FormulaStage(
        name, tuple(DeclaredLoss(cause, Decimal(percent)) for cause, percent in losses.items())
    )


def formula(
    lines: Sequence[FormulaLine],
    substances: Sequence[Substance],
    *stages: FormulaStage,
    readings: Sequence[Reading] = (),
    density: Decimal | None = None,
) -> Formula:
    """A recipe; where no stages are named it is cooked and nothing is lost."""
    known = {one.name: one for one in substances}
    return Formula(tuple(lines), stages or (stage("cook"),), known, density, tuple(readings))


def pot_of(*weighed: tuple[Substance, str | Decimal | Fraction]) -> list[Component]:
    """A pot with each of them weighed in, in g."""
    return [
        weighed_in(n, substance, Fraction(mass)) for n, (substance, mass) in enumerate(weighed, 1)
    ]


def line_by_rule(
    substance: Substance, name: str, amount: Any, *pot: tuple[Substance, Any], **more: Any
) -> Derived:
    """The line by a rule, last after all that is in the pot in g."""
    inside = tuple(weighed_in(n, one, Fraction(mass)) for n, (one, mass) in enumerate(pot, 1))
    figure = None if amount is None else Decimal(amount)
    density = more.pop("density", None)
    wanted = Derivation(len(pot) + 1, name, figure, **more)
    return derived(wanted, Around(substance, inside, density))


MN_RESINATE = Substance("RESIN-MN", "resinate", metals=(("Mn", Decimal(5)),))
ZINC_OXIDE = reagent("ZnO", "99")
POTASH = reagent("K2CO3", "99", family="base")
SALT = reagent("ZnSO4.7H2O", "99", family="salt")
VARNISH = (
    part(1, ROSIN, 1),
    rule(2, ZINC_OXIDE, "neutralise", 40),
    part(3, OIL, 2),
    rule(4, DRIER, "metal", "0.05"),
    rule(5, SPIRIT, "per-binder", 60, "thin"),
)
SHELF = (ROSIN, HARD, OIL, SPIRIT, WATER, DRIER, SHELLAC, ZINC_OXIDE, POTASH, SALT)


def charged_in(done: Worked) -> Fraction:
    """All that is weighed in, for one unit of a recipe."""
    return sum((each.mass or Fraction(0) for each in done.charged), Fraction(0))


def acid_value(done: Worked) -> float:
    """The acid value of what comes out."""
    acid = sum((one.acid_mol for one in done.contents), Fraction(0))
    return float(acid * Fraction(KOH_MG_PER_MOL) / done.makes)


def varnish(*readings: Reading, cook: Any = 3, strain: Any = "1.5") -> Worked:
    """An invented varnish: rosin part fused with zinc, oil, drier, spirit."""
    stages = stage("cook", fumes=cook), stage("thin"), stage("strain", straining=strain)
    return worked(formula(VARNISH, SHELF, *stages, readings=readings))
