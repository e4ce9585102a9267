"""What a litre of what comes out weighs, and from where that is known."""

from fractions import Fraction

from service.errors import Remedy, at
from service.science import units
from service.science.rounding import decimal_of, plain, round_significant
from service.science.units import Quantity
from service.workshop.products.queries import products_of_recipe
from service.workshop.recipes.composition import Known
from service.workshop.scalings.plan import Plan
from service.workshop.scalings.rules import DensityNeeded
from service.workshop.stock.queries import lots_of_material

LAST_LOTS = 5
_IDEAL = "ideal mixing: an approximation; measure it"
_AN_EXAMPLE = "0.90 kg/l"


def density(plan: Plan, sent: Quantity | None, product: str | None) -> Known | None:
    """As sent, else a figure of the last made lots, the product, the material, else calculated
    from the densities of the lines, else not known."""
    if sent is not None:
        value = units.canonical(sent)
        return Known("density", Fraction(value), "kg/l", "declared", plain(value), {"by": "sent"})
    makes = plan.recipe.makes
    lots = lots_of_material(plan.session, makes, "made")[:LAST_LOTS]
    sold = (
        [product]
        if product
        else [p.code for p in products_of_recipe(plan.session, plan.recipe.code)]
    )
    subjects = [
        *(("lot", lot.number) for lot in lots),
        *(("product", code) for code in sold),
        ("material", makes),
    ]
    return plan.of.known("density", "density", *subjects) or _calculated(plan)


def _calculated(plan: Plan) -> Known | None:
    value = plan.of.mixed("density", plan.charges)
    if value is None:
        return None
    shown = round_significant(decimal_of(value), 3)
    more = {"how": "additive volumes of the lines", "valid": _IDEAL}
    return Known("density", Fraction(shown), "kg/l", "calculated", plain(shown), more)


def needed(plan: Plan, sent: Quantity | None, product: str | None) -> Known:
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
