"""The costs of a version as they are shown: each amount of money rounded once, here."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Protocol

from service.science.rounding import decimal_of, plain, round_half_even, round_significant
from service.store.session import ReadSession
from service.web.amounts import litres
from service.web.fields import Amount, Figure
from service.web.footnotes import Footnotes
from service.web.money import money
from service.workshop.materials.queries import names
from service.workshop.products.queries import Pack
from service.workshop.recipes.inside.inputs import Known
from service.workshop.recipes.queries import Line, Recipe, Version
from service.workshop.recipes.written.parts import labour as shown_labour
from service.workshop.scalings.bodies.costs import (
    ContentOut,
    CostLineOut,
    CostOut,
    JarOut,
    JarPartOut,
    LabourCostOut,
    LeafOut,
    LossesOut,
    PricedByOut,
    TotalsOut,
    VersionCostsOut,
)
from service.workshop.scalings.costing.prices import MG_PER_KG, Cost, Leaf, Price

CENT, FINE = Decimal("0.01"), Decimal("0.0001")
_DIGITS = 4
_ROUNDING = (
    "All sums are exact. Each amount of money is rounded once, as it is shown, half to even: to "
    "0.01, a price to 0.0001. Shown lines need not add up to a shown total."
)
_NO_CURRENCY = "currency of the workshop"


@dataclass(frozen=True, slots=True)
class CostLine:
    """A line of a version: shares of what comes out, and the cost for a kilogram of it."""

    row: Line
    charged: Fraction | None
    kept: Fraction | None
    price: Price
    cost: Cost
    cost_kept: Cost

    @property
    def lost(self) -> Cost:
        """What of it is paid for and does not come out."""
        return replace(self.cost, known=self.cost.known - self.cost_kept.known)


@dataclass(frozen=True, slots=True)
class JarPart:
    part: str
    material: str
    price: Price
    cost: Cost


@dataclass(frozen=True, slots=True)
class Jar:
    """A pack with what is in it, in kg where a density is known."""

    pack: Pack
    density: Known | None
    kg: Fraction | None
    content: Cost
    parts: Sequence[JarPart]
    total: Cost


class Reckoned(Protocol):
    """What is shown of the version itself."""

    @property
    def session(self) -> ReadSession: ...
    @property
    def recipe(self) -> Recipe: ...
    @property
    def version(self) -> Version: ...
    @property
    def not_reckoned(self) -> list[str]: ...


@dataclass(frozen=True)
class Purse:
    """Shows money in the workshop's currency, and collects what is said in footnotes."""

    currency: str | None
    notes: Footnotes

    def cost(self, found: Cost) -> CostOut:
        if self.currency is None:
            found = replace(found, priced=False, missing=(_NO_CURRENCY, *found.missing))
        amount = self._money(found.known, CENT, "") if found.priced else None
        return CostOut(
            amount=amount,
            at_least=bool(found.missing),
            missing=list(found.missing),
            text=_told(found, amount),
        )

    def price(self, found: Price, per: str) -> Amount | None:
        """For a kilogram, or for a piece; where something in it has no price, of the rest."""
        size = MG_PER_KG if per == "kg" else 1
        return self._money(found.cost.known * size, FINE, f"/{per}") if found.cost.priced else None

    def by(self, found: Price) -> PricedByOut | None:
        if found.kind is None:
            return None
        return PricedByOut(
            kind=found.kind,
            receipt=found.receipt,
            lot=found.lot,
            on=found.on,
            recipe=found.made and found.made.recipe,
            version=found.made and found.made.version,
            made_from=[self._leaf(leaf) for leaf in found.leaves],
            text=found.text,
        )

    def rate(self, value: Decimal | None) -> Amount | None:
        return money(value, self.currency and f"{self.currency}/h")

    def _leaf(self, leaf: Leaf) -> LeafOut:
        return LeafOut(
            material=leaf.material,
            charged=grams(leaf.charged or None),
            price=self.price(leaf.price, "kg"),
            text=leaf.price.text,
        )

    def _money(self, value: Fraction, step: Decimal, per: str) -> Amount | None:
        if self.currency is None:
            return None
        return money(round_half_even(value, step), f"{self.currency}{per}")

    def density(self, known: Known | None) -> Figure | None:
        if known is None:
            return None
        note = self.notes.add("density", {"basis": known.basis, **known.more})
        return Figure.model_validate(
            {"value": known.shown, "unit": known.unit, "basis": known.basis, "note": note}
        )


def _told(found: Cost, amount: Amount | None) -> str:
    if amount is None:
        return f"undecided: {', '.join(found.missing)}"
    text = f"{amount.value} {amount.unit}"
    if not found.missing:
        return text
    lines = "1 line" if found.lines == 1 else f"{found.lines} lines"
    return f"at least {text}, {lines} without a price"


def grams(share: Fraction | None) -> Amount | None:
    """A share of a kilogram, in g to four digits."""
    if share is None:
        return None
    return Amount(value=plain(round_significant(decimal_of(1000 * share), _DIGITS)), unit="g")


def shown(
    of: Reckoned,
    purse: Purse,
    *,
    lines: Sequence[CostLine],
    labour: tuple[Decimal | None, Cost],
    per_litre: tuple[Known | None, Cost],
    jars: Sequence[Jar],
) -> VersionCostsOut:
    """All of it; `labour` with the rate that it goes by, `per_litre` with the density."""
    density = purse.density(per_litre[0])
    totals = _totals(purse, lines, labour[1], per_litre=per_litre[1], jars=jars)
    return VersionCostsOut(
        recipe=of.recipe.code,
        version=of.version.number,
        state=of.version.state,
        makes=of.recipe.makes,
        currency=purse.currency,
        lines=_lines(of.session, purse, lines),
        losses=_losses(purse, lines),
        labour=_labour(of.version, purse, *labour),
        density=density,
        totals=totals,
        not_reckoned=of.not_reckoned,
        rounding=_ROUNDING,
        notes=purse.notes.as_json(),
    )


def _totals(
    purse: Purse, lines: Sequence[CostLine], labour: Cost, *, per_litre: Cost, jars: Sequence[Jar]
) -> TotalsOut:
    charged = sum((line.cost for line in lines), Cost())
    return TotalsOut(
        materials_as_kept=purse.cost(sum((line.cost_kept for line in lines), Cost())),
        materials_as_charged=purse.cost(charged),
        per_kg=purse.cost(charged + labour),
        per_litre=purse.cost(per_litre),
        per_jar=[_jar(purse, jar) for jar in jars],
    )


def _lines(session: ReadSession, purse: Purse, lines: Sequence[CostLine]) -> list[CostLineOut]:
    called = names(session, [line.row.material for line in lines])
    return [
        CostLineOut(
            line=line.row.line,
            material=line.row.material,
            name=called[line.row.material],
            stage=line.row.stage,
            charged=grams(line.charged or None),
            kept=grams(line.kept if line.charged else None),
            price=purse.price(line.price, "kg"),
            by=purse.by(line.price),
            cost=purse.cost(line.cost),
            cost_kept=purse.cost(line.cost_kept),
        )
        for line in lines
    ]


def _losses(purse: Purse, lines: Sequence[CostLine]) -> LossesOut:
    known = [line.charged - line.kept for line in lines if line.charged and line.kept is not None]
    mass = grams(sum(known, Fraction(0))) if known else None
    return LossesOut(mass=mass, cost=purse.cost(sum((line.lost for line in lines), Cost())))


def _labour(version: Version, purse: Purse, rate: Decimal | None, cost: Cost) -> LabourCostOut:
    told = shown_labour(version)
    return LabourCostOut(
        time=told and told.time,
        for_=told and told.for_,
        rate=purse.rate(rate),
        cost=purse.cost(cost),
    )


def _jar(purse: Purse, jar: Jar) -> JarOut:
    nominal = litres(jar.pack.nominal_ul)
    if nominal is None:
        raise LookupError("a pack always has its nominal content")
    content = ContentOut(
        nominal=nominal,
        density=purse.density(jar.density),
        mass=grams(jar.kg),
        cost=purse.cost(jar.content),
    )
    return JarOut(
        product=jar.pack.product,
        pack=jar.pack.pack,
        content=content,
        parts=[_part(purse, part) for part in jar.parts],
        total=purse.cost(jar.total),
    )


def _part(purse: Purse, part: JarPart) -> JarPartOut:
    return JarPartOut.model_validate(
        {
            "part": part.part,
            "material": part.material,
            "price": purse.price(part.price, "pcs"),
            "by": purse.by(part.price),
            "cost": purse.cost(part.cost),
        }
    )
