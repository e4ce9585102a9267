"""What a litre of what comes out weighs, and from where that is known."""

import functools
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Protocol

from sqlalchemy import bindparam, tuple_
from sqlmodel import col, select
from sqlmodel.sql.expression import SelectOfScalar

from service.errors import Remedy, at
from service.science import units
from service.science.rounding import decimal_of, plain, round_significant
from service.science.units import Quantity
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.materials.queries import FigureRow, note_of
from service.workshop.products.queries import products_of_recipe
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.inputs import Known
from service.workshop.recipes.queries import Recipe
from service.workshop.recipes.rules import Charge
from service.workshop.scalings.rules import DensityNeeded
from service.workshop.stock.queries import lots_of_material

LAST_LOTS = 5
_IDEAL = "ideal mixing: an approximation; measure it"
_AN_EXAMPLE = "0.90 kg/l"


class Reckoned(Protocol):
    """A recipe with its charge for a gram of what comes out, and what is known of its lines."""

    @property
    def session(self) -> ReadSession: ...
    @property
    def recipe(self) -> Recipe: ...
    @property
    def of(self) -> Composition: ...
    @property
    def charges(self) -> Sequence[Charge]: ...


def density(plan: Reckoned, sent: Quantity | None, product: str | None) -> Known | None:
    """As sent, else a figure of the last made lots, the product, the material, else calculated
    from the densities of the lines, else not known."""
    if sent is not None:
        value = units.canonical(sent)
        return Known("density", Fraction(value), "kg/l", "declared", plain(value), {"by": "sent"})
    sold = (
        [product]
        if product
        else [p.code for p in products_of_recipe(plan.session, plan.recipe.code)]
    )
    return densities(plan, {"": sold})[""]


def densities(plan: Reckoned, sold: Mapping[str, Iterable[str]]) -> dict[str, Known | None]:
    """By name of several groups of products, in two queries for all of them."""
    makes = plan.recipe.makes
    lots = lots_of_material(plan.session, makes, "made")[:LAST_LOTS]
    order = {
        name: [
            *(("lot", lot.number) for lot in lots),
            *(("product", code) for code in codes),
            ("material", makes),
        ]
        for name, codes in sold.items()
    }
    held = _figures(plan.session, [subject for each in order.values() for subject in each])
    found = {name: next(filter(None, map(held.get, each)), None) for name, each in order.items()}
    return {name: _calculated(plan) if row is None else _of(row) for name, row in found.items()}


def _figures(
    session: ReadSession, subjects: Iterable[tuple[str, str]]
) -> dict[tuple[str, str], FigureRow]:
    """By subject the newest standing figure of its density, in one query."""
    rows = session.exec(_densities(), params={"subjects": sorted(set(subjects))})
    return {(row.subject_kind, row.subject): row for row in rows}


@functools.cache
def _densities() -> SelectOfScalar[FigureRow]:
    place = tuple_(col(FigureRow.subject_kind), col(FigureRow.subject))
    inside = place.in_(bindparam("subjects", expanding=True))
    return (
        select(FigureRow)
        .where(FigureRow.property == "density", inside, standing(FigureRow))
        .order_by(col(FigureRow.happened_at), col(FigureRow.id))
    )


def _of(row: FigureRow) -> Known:
    more = {name: text for name, text in note_of(row).items() if name != "basis"}
    if row.subject_kind == "lot":
        more["lot"] = row.subject
    return Known("density", Fraction(row.value), "kg/l", row.basis, plain(row.value), more)


def _calculated(plan: Reckoned) -> Known | None:
    value = plan.of.mixed("density", plan.charges) if plan.charges else None
    if value is None:
        return None
    shown = round_significant(decimal_of(value), 3)
    more = {"how": "additive volumes of the lines", "valid": _IDEAL}
    return Known("density", Fraction(shown), "kg/l", "calculated", plain(shown), more)


def needed(plan: Reckoned, sent: Quantity | None, product: str | None) -> Known:
    """Raises DensityNeeded."""
    found = density(plan, sent, product)
    if found is not None:
        return found
    missing = ", ".join(plan.of.unknown("density", plan.charges))
    wrong = (
        f"No lot, product or material says what a litre of {plan.recipe.makes} weighs, and it "
        f"cannot be worked out without the density of {missing}."
    )
    way = Remedy(f"a litre of it weighs {_AN_EXAMPLE[:4]} kg", {"density": _AN_EXAMPLE})
    hint = "Weigh a known volume of it, or ask by mass."
    fault = at("#/density", wrong, "density-needed", hint=hint, remedies=(way,))
    raise DensityNeeded(wrong, fault)
