"""One hydrate weighed for another, and a stock solution diluted by mass."""

from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.formulas import formula_parts, mass_of_formula
from service.science.ranges import above, one_of, positive

_WATER = {"H": 2, "O": 1}
_CAUTIONS = {
    "acid": "acid into the water, slowly and stirring, never water into acid; goggles and gloves",
    "ammonia": "ammonia fumes choke: outdoors or under a hood, the bottle cold; goggles and gloves",
    "alkali": "caustic and hot: the alkali little by little into cold water; goggles and gloves",
    "other": "weigh the stock into the water and stir",
}


class Dilution(NamedTuple):
    """The stock and the water to weigh."""

    stock_g: Decimal
    water_g: Decimal
    notes: tuple[str, ...]


class _Salt(NamedTuple):
    """What is left of a formula without its crystal water, and its mass to one of the salt."""

    parts: tuple[tuple[tuple[tuple[str, int], ...], int], ...]
    mass: Decimal


def stock_kinds() -> tuple[str, ...]:
    """List the kinds of stock solution, which decide the caution.

    Parameters: none. Raises: nothing. Returns: the words. Source: common practice.

    >>> "acid" in stock_kinds()
    True
    """
    return tuple(_CAUTIONS)


def hydrate_swap(called_for_g: Decimal, called_for: str, *, at_hand: str) -> Decimal:
    """Work out how much of another hydrate of the same salt does what a recipe calls for.

    Parameters: called_for_g [g, above 0; mass in the recipe]; called_for [text, formula in the
    recipe with its crystal water such as Na2HPO4.12H2O, without water for the dry salt]; at_hand
    [text, formula of what is at hand with its crystal water].
    Returns: [g] mass of what is at hand.
    Raises: OutOfRange for the mass, NumberMalformed or OutOfRange for a formula, NotApplicable
    if the two are not hydrates of one salt.
    Source: ratio of molar masses, IUPAC/CIAAW 2021.

    >>> round(hydrate_swap(Decimal(5), "Na2HPO4.12H2O", at_hand="Na2HPO4.2H2O"), 3)
    Decimal('2.485')
    """
    positive(called_for_g, "called_for_g")
    wanted = _salt(called_for, name="called_for")
    here = _salt(at_hand, name="at_hand")
    if wanted.parts != here.parts:
        raise NotApplicable(
            f"{called_for} and {at_hand} are not hydrates of one salt",
            "take the salt that the recipe calls for",
            field="at_hand",
        )
    return called_for_g * here.mass / wanted.mass


def dilute_by_mass(
    stock_percent: Decimal, target_percent: Decimal, *, final_g: Decimal, kind: str = "other"
) -> Dilution:
    """Work out the stock and the water for a solution of so many percent by mass.

    Parameters: stock_percent [%, above 0 up to 100; strength of the stock by mass, m/m];
    target_percent [%, above 0 up to 100; strength wanted by mass, m/m]; final_g [g, above 0; of
    finished solution]; kind [one of `stock_kinds()`; decides the caution].
    Returns: stock and water to weigh in g.
    Raises: OutOfRange for a number or a word, or a stock weaker than the target.
    Source: mass balance; alcohol by volume is another calculation.

    >>> dilute_by_mass(Decimal(25), Decimal(10), final_g=Decimal(1000), kind="ammonia").water_g
    Decimal('600')
    """
    above(stock_percent, 0, high=100, name="stock_percent")
    above(target_percent, 0, high=100, name="target_percent")
    positive(final_g, "final_g")
    one_of(kind, stock_kinds(), name="kind")
    if target_percent > stock_percent:
        raise OutOfRange(
            f"a stock of {stock_percent:f} % cannot give {target_percent:f} %",
            "send a stronger stock or a weaker target, both by mass",
            field="stock_percent",
        )
    stock_g = final_g * target_percent / stock_percent
    water_g = final_g * (stock_percent - target_percent) / stock_percent
    return Dilution(stock_g, water_g, (_CAUTIONS[kind],))


def _salt(formula: str, *, name: str) -> _Salt:
    """Set the water aside; `2CaSO4.H2O` holds two of its salt."""
    mass = mass_of_formula(formula, name=name)
    parts = formula_parts(formula, name=name)
    dry = [part for part in parts if part.times and part.atoms != _WATER]
    if not dry:
        raise NotApplicable(f"{formula} is water", "send the formula of a salt", field=name)
    times = dry[0].times if len(dry) == 1 else 1
    return _Salt(
        tuple(sorted((tuple(sorted(part.atoms.items())), part.times // times) for part in dry)),
        mass / times,
    )
