"""From what is asked to what comes out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.errors import Invalid, Remedy, at
from service.science import units
from service.science.rounding import decimal_of, plain, round_half_even
from service.web.amounts import litres
from service.web.fields import Amount, Figure, shown
from service.workshop.products import queries as products
from service.workshop.recipes.inside.inputs import Known
from service.workshop.scalings.bodies import (
    ALL_OF_IT,
    MOST_MADE,
    FilledIn,
    IngredientIn,
    JarsIn,
    KettleIn,
    LimitOut,
    Makes,
    ScalingIn,
)
from service.workshop.scalings.charge.density import density, needed
from service.workshop.scalings.charge.kettles import largest
from service.workshop.scalings.charge.plan import Plan, percent
from service.workshop.scalings.rules import makes_of, most_of

USUAL_OVERAGE = Decimal(2)
_LITRE = 1000


@dataclass(frozen=True)
class Outcome:
    """What comes out in g, its volume in ml where a density is known, and how that was found."""

    asked: dict[str, Any]
    mass_g: Fraction
    density: Known | None
    note: str
    how: str
    pack: products.Pack | None = None
    jars: int = 0
    limited_by: tuple[str, int] | None = None  # of all the stock: the material, and what is left
    weighed: Mapping[int, Fraction] = field(default_factory=dict)  # in g, as it fell on the bench
    named: str | None = None  # of an ingredient: the material of which there is no more

    @property
    def limit(self) -> LimitOut | None:
        """The material that is used up first, where all the stock was asked for."""
        if self.limited_by is None:
            return None
        material, left = self.limited_by
        value = plain(Decimal(left) / 1000)
        return LimitOut(material=material, left=Amount(value=value, unit="g"))

    @property
    def volume_ml(self) -> Fraction | None:
        return None if self.density is None else self.mass_g / self.density.value


def outcome(plan: Plan, wanted: ScalingIn) -> Outcome:
    """Raises Invalid, DensityNeeded."""
    asked = wanted.for_
    if isinstance(asked, JarsIn):
        return _of_jars(plan, wanted, asked)
    if isinstance(asked, FilledIn):
        return _of_filled(plan, wanted, asked)
    if isinstance(asked, IngredientIn):
        return _of_ingredient(plan, wanted, asked)
    if isinstance(asked, KettleIn):
        return _of_kettle(plan, wanted)
    if asked == ALL_OF_IT:
        return _of_stock(plan, wanted)
    return _of_amount(plan, wanted, asked)


def without_overage(wanted: ScalingIn, what: str) -> None:
    """Raises Invalid where more is asked of what is all there is."""
    if wanted.overage is not None:
        wrong = f"{what} makes what it makes: there is no overage on it."
        way = Remedy("all of it is used", {"overage": None})
        raise Invalid(wrong, at("#/overage", wrong, "no-overage", remedies=(way,)))


def _of_stock(plan: Plan, wanted: ScalingIn) -> Outcome:
    """All that the open lots allow. Raises Invalid where a line has none."""
    without_overage(wanted, "The stock")
    held = {code: sum(lot.left for lot in lots) for code, lots in plan.open.items()}
    limit = most_of(plan.charges, held, step_mg=plan.balance.step_mg)
    if limit is None or limit.makes_g <= 0:
        raise _nothing_in_stock(plan, held)
    left = held[limit.material]
    each = [line.charged for line in plan.charges if line.material == limit.material]
    goes_by = plain(decimal_of(limit.makes_g * sum(each, Fraction(0))))
    shown_left = f"{plain(Decimal(left) / 1000)} g less half a step of the balance for each line"
    return Outcome(
        asked={"stock": True, "text": "all that the stock allows"},
        mass_g=limit.makes_g,
        density=density(plan, wanted.density, None),
        note="stock",
        how=f"what {goes_by} g of {limit.material} makes ({shown_left}), the first to run out, "
        "by the lines and the losses",
        limited_by=(limit.material, left),
    )


def _nothing_in_stock(plan: Plan, held: Mapping[str, int]) -> Invalid:
    needed_of = dict.fromkeys(line.material for line in plan.charges if line.charged)
    if out := [code for code in needed_of if not held[code]]:
        wrong = f"The stock makes none of it: there is no open lot of {', '.join(out)}."
    else:
        wrong = "The stock makes none of it: what is left of a line is less than a balance reads."
    return Invalid(wrong, at("#/for", wrong, "nothing-in-stock", hint="Receive some first."))


def _of_kettle(plan: Plan, wanted: ScalingIn) -> Outcome:
    """As much as leaves the kettle its room. Raises Invalid where that cannot be worked out."""
    without_overage(wanted, "A full kettle")
    mass_g, how, inputs = largest(plan, wanted)
    code = wanted.for_.kettle if wanted.for_ is not None else ""
    return Outcome(
        asked={"kettle": code, "text": f"as much as {code} takes"},
        mass_g=mass_g,
        density=density(plan, wanted.density, None),
        note="kettle",
        how=f"{how}{inputs}",
    )


def _overage(plan: Plan, wanted: ScalingIn, usual: Decimal) -> Decimal:
    if wanted.overage is not None:
        return units.canonical(wanted.overage)
    if usual:
        plan.assumed["overage"] = percent(usual)
    return usual


def _of_jars(plan: Plan, wanted: ScalingIn, asked: JarsIn) -> Outcome:
    pack = _pack(plan, asked)
    _check_size(asked.jars, pack.nominal_ul)
    over = _overage(plan, wanted, USUAL_OVERAGE)
    known = needed(plan, wanted.density, pack.product)
    volume_ml = asked.jars * Fraction(pack.nominal_ul, 1000) * _more(over)
    nominal = litres(pack.nominal_ul)
    each = f"{nominal.value} {nominal.unit}" if nominal else ""
    told = {"product": pack.product, "pack": pack.pack, "jars": asked.jars}
    return Outcome(
        asked={**told, "text": f"{asked.jars} jars of {each}"},
        mass_g=volume_ml * known.value,
        density=known,
        note="jars",
        how=f"{asked.jars} x {each}{_times(over)} x {known.shown} kg/l",
        pack=pack,
        jars=asked.jars,
    )


def _check_size(jars: int, each_ul: Decimal | int) -> None:
    """Raises Invalid for more jars than can be asked for by volume."""
    if jars * each_ul > MOST_MADE:
        wrong = f"{jars} jars of this size cannot be made: at most 1000 l is taken."
        raise Invalid(wrong, at("#/for/jars", wrong, "out-of-range"))


def _of_filled(plan: Plan, wanted: ScalingIn, asked: FilledIn) -> Outcome:
    """Jars of a size that is no pack: brimful less what stays empty."""
    _check_size(asked.jars, units.canonical(asked.each))
    over = _overage(plan, wanted, USUAL_OVERAGE)
    known = needed(plan, wanted.density, None)
    ullage = Decimal(0) if asked.ullage is None else units.canonical(asked.ullage)
    if asked.ullage is None:
        plan.assumed["ullage"] = "none: `each` is what goes into a jar"
    each_ml = Fraction(units.canonical(asked.each)) / 1000 * (1 - Fraction(ullage) / 100)
    less = f" less {percent(ullage)}" if ullage else ""
    told = {"jars": asked.jars, "each": shown(asked.each).model_dump()}
    return Outcome(
        asked={**told, "text": f"{asked.jars} jars of {asked.each}"},
        mass_g=asked.jars * each_ml * _more(over) * known.value,
        density=known,
        note="jars",
        how=f"{asked.jars} x {asked.each}{less}{_times(over)} x {known.shown} kg/l",
        jars=asked.jars,
    )


def _pack(plan: Plan, asked: JarsIn) -> products.Pack:
    """The pack asked for. Raises Invalid with the packs there are."""
    sold = products.products_of_recipe(plan.session, plan.recipe.code)
    if asked.product is not None:
        sold = [product for product in sold if product.code == asked.product]
        if not sold:
            wrong = f"{asked.product} is no product of the recipe {plan.recipe.code}."
            raise Invalid(wrong, at("#/for/product", wrong, "product-unknown"))
    packs = [pack for product in sold for pack in products.packs(plan.session, product.code)]
    found = [pack for pack in packs if pack.pack == asked.pack]
    if len(found) != 1:
        raise _which(asked, packs=packs, found=found)
    if asked.product is None:
        plan.assumed["product"] = found[0].product
    return found[0]


def _which(asked: JarsIn, *, packs: list[products.Pack], found: list[products.Pack]) -> Invalid:
    if found:
        wrong = f"Several products are sold in the pack {asked.pack}."
        ways = [Remedy(f"{p.product} is meant", {"for": {"product": p.product}}) for p in found]
        return Invalid(wrong, at("#/for", wrong, "product-missing", remedies=tuple(ways)))
    there = ", ".join(dict.fromkeys(pack.pack for pack in packs)) or "none yet"
    wrong = f"What this recipe makes is not sold in the pack {asked.pack}; there are: {there}."
    ways = [
        Remedy(
            f"{pack.product} {pack.pack} is meant",
            {"for": {"pack": pack.pack, "product": pack.product}},
        )
        for pack in packs
    ]
    hint = "Add it: POST /v1/products/{code}/packs, or ask by mass or volume."
    return Invalid(wrong, at("#/for/pack", wrong, "pack-unknown", hint=hint, remedies=tuple(ways)))


def _of_ingredient(plan: Plan, wanted: ScalingIn, asked: IngredientIn) -> Outcome:
    amount_g = Fraction(units.canonical(asked.amount)) / 1000
    mass_g = makes_of(plan.charges, asked.material, amount_g)
    if mass_g is None:
        wrong = f"No line of {plan.recipe.code} is {asked.material} by weight."
        there = dict.fromkeys(line.material for line in plan.charges if line.charged)
        ways = [Remedy(f"{code} is meant", {"for": {"material": code}}) for code in there]
        fault = at("#/for/material", wrong, "not-in-recipe", remedies=tuple(ways))
        raise Invalid(wrong, fault)
    without_overage(wanted, "An ingredient on the bench")
    text = f"{asked.amount} of {asked.material}"
    return Outcome(
        asked={
            "material": asked.material,
            "amount": shown(asked.amount).model_dump(),
            "text": text,
        },
        mass_g=mass_g,
        density=density(plan, wanted.density, None),
        note="ingredient",
        how=f"what {text} makes, by the lines and the losses",
        named=asked.material,
    )


def _of_amount(plan: Plan, wanted: ScalingIn, asked: Any) -> Outcome:
    over = _overage(plan, wanted, Decimal(0))
    told = {asked.dimension: shown(asked).model_dump(), "text": str(asked)}
    size = Fraction(units.canonical(asked)) / 1000 * _more(over)
    if asked.dimension == "mass":
        how = f"{asked}{_times(over)}, as asked"
        return Outcome(told, size, density(plan, wanted.density, None), "asked", how)
    known = needed(plan, wanted.density, None)
    how = f"{asked}{_times(over)} x {known.shown} kg/l"
    return Outcome(told, size * known.value, known, "volume", how)


def _more(over: Decimal) -> Fraction:
    return 1 + Fraction(over) / 100


def _times(over: Decimal) -> str:
    return f" x {plain((1 + over / 100).normalize())}" if over else ""


def shown_outcome(plan: Plan, found: Outcome) -> Makes:
    """Mass and volume as the answer shows them, with their footnote."""
    inputs = [] if found.density is None else [found.density.as_json()]
    note: dict[str, Any] = {"basis": "calculated", "how": found.how}
    if inputs:
        note["from"] = inputs
    if found.density is not None and "valid" in found.density.more:
        note["valid"] = found.density.more["valid"]
    mark = plan.notes.add(found.note, note)
    return Makes(
        mass=_figure(found.mass_g, ("g", "kg"), note=mark),
        volume=None
        if found.volume_ml is None
        else _figure(found.volume_ml, ("ml", "l"), note=mark),
    )


def _figure(size: Fraction, spelled: tuple[str, str], *, note: str) -> Figure:
    """A size in g or ml to the whole unit below a thousand, above it in thousands."""
    small, large = spelled
    if size < _LITRE:
        value, unit = round_half_even(decimal_of(size), Decimal("0.1")), small
    else:
        places = Decimal("0.001") if large == "kg" else Decimal("0.01")
        value, unit = round_half_even(decimal_of(size / _LITRE), places), large
    return Figure(value=plain(value), unit=unit, basis="calculated", note=note)
