"""What a version costs, with the prices known now: exact until it is shown."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from sqlmodel import col, select

from service.office.workshop_card.queries import card
from service.science.errors import ScienceError
from service.store.session import ReadSession
from service.web.footnotes import Footnotes
from service.workshop.products.queries import Pack, products_of_recipe
from service.workshop.recipes import queries as recipes
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.contents import missing
from service.workshop.recipes.inside.inputs import Known
from service.workshop.recipes.rules import Charge
from service.workshop.scalings.bodies.costs import VersionCostsOut
from service.workshop.scalings.charge.density import densities
from service.workshop.scalings.charge.losses import last_loss
from service.workshop.scalings.costing.prices import MG_PER_KG, Cost, Price, Prices, weighed
from service.workshop.scalings.costing.shown_costs import CostLine, Jar, JarPart, Purse, shown

_MADE = frozenset({"recipe", "lot"})  # what was bought has its labour in its price
_ALL = ""  # of all products together: no product has it as its code


@dataclass(frozen=True)
class Reckoning:
    """A version worked through, and the packs that what it makes is sold in.

    Where it could not be worked through there are no charges, and `lacking` says for what.
    """

    session: ReadSession
    recipe: recipes.Recipe
    version: recipes.Version
    lines: Sequence[recipes.Line]
    packs: Sequence[Pack]
    of: Composition
    charges: Sequence[Charge]
    lacking: tuple[str, ...]
    unsure: list[str]

    @property
    def not_reckoned(self) -> list[str]:
        """What the sums leave out: reactions, the labour in what is made first, and the losses
        that were measured."""
        codes = dict.fromkeys(line.material for line in self.lines)
        made = [code for code in codes if self.prices.price(code).kind in _MADE]
        last = last_loss(self.session, self.recipe.code, self.version.number)
        return [
            *self.unsure,
            *(f"labour of {code}, which is made first, and of what it is made of" for code in made),
            *([f"{last.told}: the declared losses are reckoned with"] if last else []),
        ]

    @cached_property
    def prices(self) -> Prices:
        codes = [line.material for line in self.lines]
        codes += [code for pack in self.packs for _, code in _parts(pack)]
        return Prices(self.session, self.of, codes)

    @cached_property
    def densities(self) -> Mapping[str, Known | None]:
        """Of what comes out, by the product that it is sold as."""
        sold = list(dict.fromkeys(pack.product for pack in self.packs))
        return densities(self, {_ALL: sold, **{code: [code] for code in sold}})

    @property
    def no_density(self) -> Cost:
        unknown = ", ".join(self.of.unknown("density", self.charges))
        makes = f"density of {self.recipe.makes}"
        return Cost(missing=(f"{makes}, or of {unknown}" if unknown else makes,), lines=1)


def version_costs(session: ReadSession, code: str, number: int) -> VersionCostsOut:
    """Of a version in any state. Raises UnknownRecipe, UnknownVersion."""
    found = _reckoned(session, code, number)
    kept = card(session)
    purse = Purse(kept.currency, Footnotes())
    lines = _lines(found)
    labour = _labour(found.version, kept.labour_rate)
    charged = sum((line.cost for line in lines), Cost())
    known = found.densities[_ALL]
    per_kg = charged + labour
    per_litre = found.no_density if known is None else per_kg.times(known.value)
    return shown(
        found,
        purse,
        lines=lines,
        labour=(kept.labour_rate, labour),
        per_litre=(known, per_litre),
        jars=[_jar(found, pack, per_kg) for pack in found.packs],
    )


def _reckoned(session: ReadSession, code: str, number: int) -> Reckoning:
    version = recipes.version(session, code, number)
    recipe = recipes.recipe(session, version.recipe)
    sold = [product.code for product in products_of_recipe(session, recipe.code)]
    lines, packs = recipes.lines(session, version), _packs(session, sold)
    of = Composition(session)
    parts = [part for pack in packs for _, part in _parts(pack)]
    of.load([*(line.material for line in lines), *parts])
    charges, lacking, unsure = _worked(of, version)
    return Reckoning(session, recipe, version, lines, packs, of, charges, lacking, unsure)


def _worked(
    of: Composition, version: recipes.Version
) -> tuple[Sequence[Charge], tuple[str, ...], list[str]]:
    """Its charges, or for what it could not be worked through; and what no reaction was reckoned
    for."""
    try:
        work = of.work(version)
    except ScienceError as error:  # what became known since it was drafted may forbid it
        return (), (str(error),), []
    if work.done is None:
        return (), tuple(missing(work.lacking.missing if work.lacking else ())), []
    return work.charges, (), missing(work.done.undecided)


def _packs(session: ReadSession, products: Sequence[str]) -> list[Pack]:
    """The packs of these products, by product in the order in which they were added."""
    found = select(Pack).where(col(Pack.product).in_(products))
    return list(session.exec(found.order_by(col(Pack.product), col(Pack.id))))


def _parts(pack: Pack) -> list[tuple[str, str]]:
    """What a jar takes beside its content, as what and as which material."""
    parts = (("container", pack.container), ("closure", pack.closure), ("label", pack.label))
    return [(part, material) for part, material in parts if material is not None]


def _lines(found: Reckoning) -> list[CostLine]:
    charges = {charge.line: charge for charge in found.charges}
    return [_line(found, line, charges.get(line.line)) for line in found.lines]


def _line(found: Reckoning, line: recipes.Line, charge: Charge | None) -> CostLine:
    """For a kilogram of what comes out."""
    price = found.prices.price(line.material)
    if charge is None:
        unknown = Cost(missing=found.lacking, lines=1)
        return CostLine(line, None, None, price, unknown, unknown)
    cost = weighed(price, line.material, charge.charged).as_line.times(Fraction(MG_PER_KG))
    stays = charge.kept / charge.charged if charge.charged else Fraction(0)
    return CostLine(line, charge.charged, charge.kept, price, cost, cost.times(stays))


def _labour(version: recipes.Version, rate: Decimal | None) -> Cost:
    """For a kilogram of what comes out."""
    seconds, made = version.labour_seconds, version.labour_for_mg
    unknown = [] if seconds is not None and made else [f"labour of version {version.number}"]
    if rate is None:
        unknown.append("labour rate of the workshop")
    if rate is None or seconds is None or not made:
        return Cost(missing=tuple(unknown), lines=1)
    return Cost(Fraction(rate) * Fraction(seconds, 3600) * Fraction(MG_PER_KG, made), True)


def _jar(found: Reckoning, pack: Pack, per_kg: Cost) -> Jar:
    """A jar of this pack, filled to its nominal content."""
    known = found.densities[pack.product]
    kg = None if known is None else Fraction(pack.nominal_ul, 1_000_000) * known.value
    content = found.no_density if kg is None else per_kg.times(kg)
    parts = [_part(found.prices.price(code), part, code) for part, code in _parts(pack)]
    total = sum((part.cost for part in parts), content)
    return Jar(pack, known, kg, content, parts, total)


def _part(price: Price, part: str, material: str) -> JarPart:
    return JarPart(part, material, price, price.cost.as_line)
