"""What a milligram or a piece of a material costs, exactly, and from where that is known."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Literal

from service.store.session import ReadSession
from service.workshop.recipes.inside.composition import Composition, Made
from service.workshop.stock.queries import latest_prices, open_lots_of, unit_prices

MG_PER_KG = 1_000_000
Kind = Literal["receipt", "lot", "recipe", "list"]


@dataclass(frozen=True, slots=True)
class Cost:
    """Money that is known, the names of what has no price in it, and how many lines that are."""

    known: Fraction = Fraction(0)
    priced: bool = False
    missing: tuple[str, ...] = ()
    lines: int = 0

    def __add__(self, more: "Cost") -> "Cost":
        return Cost(
            self.known + more.known,
            self.priced or more.priced,
            tuple(dict.fromkeys((*self.missing, *more.missing))),
            self.lines + more.lines,
        )

    def times(self, amount: Fraction) -> "Cost":
        return replace(self, known=self.known * amount)

    @property
    def as_line(self) -> "Cost":
        """The same as one line of a sum."""
        return replace(self, lines=1 if self.missing else 0)


@dataclass(frozen=True, slots=True)
class Leaf:
    """What one unit of an intermediate takes of something that is not taken apart."""

    material: str
    charged: Fraction
    price: "Price"


@dataclass(frozen=True, slots=True)
class Price:
    """The cost of one milligram or piece, and where it is from; no kind where nothing says."""

    cost: Cost
    text: str
    kind: Kind | None = None
    receipt: str | None = None
    lot: str | None = None
    on: date | None = None
    made: Made | None = None
    leaves: tuple[Leaf, ...] = ()


class Prices:
    """Prices of materials and of all that they are made of: the latest receipt, else what the lot
    at hand cost, else the recipe that makes it, else the supplier's list.

    Everything is read at once, however many materials there are.
    """

    def __init__(self, session: ReadSession, of: Composition, codes: Iterable[str]) -> None:
        self.of = of
        every = self._with_parts(dict.fromkeys(codes))
        self._receipts = latest_prices(session, every)
        unpaid = [code for code in every if self._receipts[code] is None]
        held = {code: lots[0].lot for code, lots in open_lots_of(session, unpaid).items() if lots}
        each = unit_prices(session, list(held.values()))
        self._lots = {code: (lot.number, each[lot.row_id]) for code, lot in held.items()}

    def _with_parts(self, codes: Iterable[str]) -> list[str]:
        self.of.load(codes)
        seen: dict[str, None] = {}
        ways: list[tuple[str, ...]] = [(code,) for code in codes]
        while ways:
            *above, code = ways.pop()
            if code not in seen:
                seen[code] = None
                ways += [
                    (*above, code, line.material) for line in self.of.made_of(code, tuple(above))
                ]
        return list(seen)

    def price(self, code: str, above: tuple[str, ...] = ()) -> Price:
        """Of a material, which may stand in the intermediates `above`."""
        if (paid := self._receipts.get(code)) is not None:
            text = f"receipt {paid.receipt} of {paid.on.isoformat()}"
            return Price(
                Cost(paid.per, True),
                text,
                "receipt",
                receipt=paid.receipt,
                lot=paid.lot,
                on=paid.on,
            )
        number, per = self._lots.get(code, ("", None))
        if per is not None:
            text = f"lot {number}: what went into it, losses included"
            return Price(Cost(per, True), text, "lot", lot=number)
        made = self.of.made(code, above)
        if made is not None and made.work.charges:
            return self._by_recipe(code, made, above)
        return self._listed(code)

    def _by_recipe(self, code: str, made: Made, above: tuple[str, ...]) -> Price:
        """What the lines of its recipe cost together, its losses included, its labour not."""
        cost, leaves = Cost(), list[Leaf]()
        for line in made.work.charges:
            inner = self.price(line.material, (*above, code))
            cost += weighed(inner, line.material, line.charged)
            if inner.leaves:
                leaves += [
                    replace(leaf, charged=leaf.charged * line.charged) for leaf in inner.leaves
                ]
            else:
                leaves.append(Leaf(line.material, line.charged, inner))
        text = (
            f"{made.told}: what is weighed in for it by its declared losses, its labour not counted"
        )
        return Price(cost, text, "recipe", made=made, leaves=tuple(leaves))

    def _listed(self, code: str) -> Price:
        """What the supplier asks; by the litre only where the density is known."""
        row = self.of.material(code)
        nothing = Price(Cost(missing=(f"price of {code}",)), "no price is known")
        if row.price is None:
            return nothing
        told = [
            f"list price per {row.price_per}",
            *([row.price_source] if row.price_source else []),
        ]
        each = {"piece": Fraction(1), "kg": Fraction(MG_PER_KG)}.get(row.price_per or "")
        if each is None:
            density = self.of.density(code)
            if density is None:
                lacking = Cost(missing=(f"density of {code}, which is priced by the litre",))
                return Price(lacking, "list price per l, and no density is known")
            each = density.value * MG_PER_KG
            told.append(f"at {density.shown} kg/l")
        text = ", ".join(told)
        return Price(Cost(Fraction(row.price) / each, True), text, "list", on=row.price_on)


def weighed(price: Price, material: str, amount: Fraction) -> Cost:
    """What so much of a material costs; what is added as it needs has no amount to reckon with."""
    if not amount:
        return Cost(missing=(f"amount of {material}, which is added as it needs",))
    return price.cost.times(amount)
