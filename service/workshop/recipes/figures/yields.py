"""What leaves on the way, of what is charged."""

from fractions import Fraction

from service.science.exact import added
from service.science.formulation import Worked
from service.science.pots import Left
from service.science.rounding import decimal_of
from service.workshop.recipes.figures.can import BY_SHARES, Can
from service.workshop.recipes.figures.derived import Derived

NAME = "loss_total"


def charged(done: Worked) -> Fraction:
    """All that is weighed in for one unit of the recipe."""
    return added(each.mass or Fraction(0) for each in done.charged)


def left(done: Worked) -> list[tuple[Left, Fraction]]:
    """What leaves in the order of the work, with its share of the charge; below 0 it comes in."""
    whole = charged(done)
    return [(each, each.mass / whole) for each in done.left]


def figure(can: Can, into: Derived) -> None:
    """All losses together, those by chemistry and those declared."""
    lost = added(share for _, share in left(can.done))
    note = {
        "how": f"all that leaves over all that is charged, less what is taken up, {BY_SHARES}",
        "valid": can.unreckoned,
    }
    into.figure(NAME, decimal_of(100 * lost), unit="%", note=("loss", note))
