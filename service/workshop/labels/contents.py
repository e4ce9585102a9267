"""What is in the jar, walked down from what was weighed in, and the cautions that follow."""

from dataclasses import dataclass
from fractions import Fraction

from service.science.cautions import Caution, caution
from service.store.session import ReadSession
from service.workshop.batches.queries import charged
from service.workshop.labels.rules import MARKS, Part, called_for, in_order
from service.workshop.materials.queries import by_codes
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot

DEEPEST = 30


@dataclass(frozen=True, slots=True)
class Called:
    """A caution under its mark on the label, and the ingredients that called for it."""

    mark: str
    caution: Caution
    because: tuple[str, ...]


def weighed_in(session: ReadSession, bulk: Lot) -> list[tuple[Lot, int]]:
    """What went into a made lot, in mg: the standing weighings of its batch, or the graph of
    origins where no batch made it."""
    weighed = charged(session, bulk.number)
    if not weighed:
        return [one for one in stock.parents(session, bulk.row_id) if one[0].measure == "mass"]
    lots = stock.lots_by_id(session, [one.lot for one in weighed])
    return [(lots[one.lot], one.amount_mg) for one in weighed]


def masses_of(session: ReadSession, bulk: Lot) -> dict[str, Fraction]:
    """How much of each ingredient, by material, went into a made lot; intermediates are taken
    apart into what they were made from."""
    found: dict[str, Fraction] = {}
    for lot, amount in weighed_in(session, bulk):
        _add(session, found, lot, mass=Fraction(amount), depth=1)
    return found


def _add(
    session: ReadSession, found: dict[str, Fraction], lot: Lot, *, mass: Fraction, depth: int
) -> None:
    inner = [
        (parent, amount)
        for parent, amount in stock.parents(session, lot.row_id)
        if parent.measure == "mass" and amount > 0
    ]
    total = sum(amount for _, amount in inner)
    if lot.kind != "made" or not total or depth > DEEPEST:
        found[lot.material] = found.get(lot.material, Fraction(0)) + mass
        return
    for parent, amount in inner:
        _add(session, found, parent, mass=mass * amount / total, depth=depth + 1)


def parts_of(session: ReadSession, bulk: Lot) -> list[Part]:
    """The ingredients of a bulk lot by falling mass, by the names that labels use."""
    masses = masses_of(session, bulk)
    named = by_codes(session, masses)
    return in_order(masses, {code: row.label_name or row.name for code, row in named.items()})


def cautions_of(session: ReadSession, bulk: Lot) -> list[Called]:
    """The cautions that the ingredients call for, whatever their share."""
    ingredients = by_codes(session, masses_of(session, bulk)).values()
    because: dict[str, list[str]] = {rule: [] for rule in MARKS}
    for one in ingredients:
        for rule in called_for(autoxidising=one.autoxidising, family=one.family):
            because[rule].append(one.code)
    return [
        Called(MARKS[rule], caution(rule), tuple(sorted(codes)))
        for rule, codes in because.items()
        if codes
    ]
