"""What a scaling is: refusals, targets as a balance reads them, and the lots they come from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from service.errors import Invalid, NotFound
from service.science.rounding import round_half_even
from service.workshop.recipes.rules import Charge
from service.workshop.stock.rules import DensityNeeded as DensityNeeded

MG = 1000
FULLEST = Fraction(1, 2)  # of a kettle in which something can foam (science.kettle)


class UnknownScaling(NotFound):
    slug = "scaling-unknown"
    title = "There is no such scaling of this recipe"


class KettleTooSmall(Invalid):
    slug = "kettle-too-small"
    title = "The kettle does not hold the charge"
    about = "The cold charge, thinner included, is more than the kettle holds to the brim."


class TooSmallToWeigh(Invalid):
    slug = "too-small-to-weigh"
    title = "A line is smaller than the balance can read"
    about = (
        "Rounded to what the balance reads, a line would be nothing. Take a finer balance, make "
        "more, or make a stock solution of that material first."
    )


@dataclass(frozen=True, slots=True)
class Target:
    """What to weigh for a line, in g: exactly, and as the balance reads it."""

    line: int
    material: str
    exact_g: Fraction
    rounded_g: Decimal

    @property
    def rounded_mg(self) -> int:
        return int(self.rounded_g * MG)


def targets(charges: Sequence[Charge], makes_g: Fraction, *, step_g: Decimal) -> list[Target]:
    """The lines of a charge that makes so many g, each rounded once from the exact figure."""
    found = []
    for charge in charges:
        exact = charge.charged * makes_g
        rounded = round_half_even(exact, step_g)
        found.append(Target(charge.line, charge.material, exact, rounded))
    return found


def weighed(found: Sequence[Target], charges: Sequence[Charge]) -> list[Charge]:
    """The charge as it will be weighed: the masses of the balance in place of exact shares."""
    return [
        Charge(
            line=charge.line,
            material=charge.material,
            charged=Fraction(target.rounded_g),
            kept=Fraction(target.rounded_g) * charge.kept / charge.charged,
        )
        for target, charge in zip(found, charges, strict=True)
    ]


def makes_of(charges: Sequence[Charge], material: str, amount_g: Fraction) -> Fraction | None:
    """What comes out, in g, when all lines of a material together take an amount; None without."""
    share = sum((line.charged for line in charges if line.material == material), Fraction(0))
    return amount_g / share if share else None


def split(wanted_mg: int, left: Mapping[str, int]) -> tuple[dict[str, int], int]:
    """How much to take from each lot, in the order given, and what is then still short."""
    taken: dict[str, int] = {}
    for lot, held in left.items():
        part = min(wanted_mg, held)
        if part > 0:
            taken[lot] = part
            wanted_mg -= part
    return taken, wanted_mg
