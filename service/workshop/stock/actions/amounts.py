"""Amounts as they were written, brought once to how a lot is kept."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from service.errors import Invalid, Remedy, at
from service.science import units
from service.science.rounding import plain
from service.store.columns import nine_places
from service.store.session import ReadSession
from service.web.amounts import whole
from service.workshop.materials import queries as materials
from service.workshop.stock import rules
from service.workshop.stock.bodies import Entered

Chain = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """An amount in mg or pieces; for a volume with the density it was converted with."""

    amount: int
    density: Decimal | None = None
    said: str | None = None  # which density, for the answer


def kept(
    session: ReadSession, entered: Entered, chain: Chain, *, measure: str, pointer: str
) -> Kept:
    """What an amount is in the ledger. `chain` says where a density is looked for.

    Raises Invalid at the pointer where the amount does not fit how the lot is kept, and
    DensityNeeded for a volume without a density.
    """
    quantity = entered.quantity
    if (measure == "count") != (quantity.dimension == "count"):
        raise _misfit(chain[-1][1], entered, measure, pointer)
    if measure == "count":
        return Kept(int(units.canonical(quantity)))
    if quantity.dimension == "volume":
        found = _weighed(session, entered, chain, pointer)
    else:
        found = Kept(whole(quantity) or 0)
    if found.amount < 1:
        wrong = f"{entered} is less than a milligram."
        raise Invalid(wrong, at(pointer, wrong, "out-of-range"))
    return found


def _misfit(material: str, entered: Entered, measure: str, pointer: str) -> Invalid:
    if measure == "count":
        wrong = f"{material} is kept by count, and {entered} is no number of pieces."
        return Invalid(wrong, at(pointer, wrong, "wrong-dimension", hint="Send for example 100."))
    wrong = f"{material} is kept by mass, and {entered} does not say its unit."
    hint = 'Send a mass or a volume: "5 kg", "10 l".'
    return Invalid(wrong, at(pointer, wrong, "unit-missing", hint=hint))


def _weighed(session: ReadSession, entered: Entered, chain: Chain, pointer: str) -> Kept:
    figure = materials.figure(session, "density", *chain)
    if figure is None:
        material = chain[-1][1]
        wrong = f"{entered} of {material} cannot be weighed without a density, and none is known."
        hint = (
            'Send the mass, or the density with its basis: "density": {"value": "0.8 kg/l", '
            '"basis": "declared", "source": "…"}; for all its lots: '
            f"POST /v1/materials/{material}/figures."
        )
        raise rules.DensityNeeded(wrong, at(pointer, wrong, "density-needed", hint=hint))
    density = nine_places(figure.value).normalize() + 0  # as it is read back
    degrees = figure.temperature_c
    warm = "" if degrees is None else f" at {plain(degrees)} °C"
    said = f"{figure.entered_value} {figure.entered_unit}{warm}, {figure.basis}, {figure.subject}"
    return Kept(rules.mass_of(units.canonical(entered.quantity), density), density, said)


def signed(entered: Entered, cause: str, *, pointer: str) -> int:
    """Whether an amount of this cause goes in (1) or out (-1). Only the difference of an
    adjustment or a stock take has a sign of its own. Raises Invalid."""
    bare = str(Entered(entered.quantity, ""))
    if cause in rules.SIGNED:
        if not entered.sign:
            wrong = f"{bare} does not say whether it is more or less than the ledger says."
            remedies = tuple(
                Remedy(f"there is {word} than the ledger says", resent(pointer, f"{sign}{bare}"))
                for word, sign in (("less", "-"), ("more", "+"))
            )
            raise Invalid(wrong, at(pointer, wrong, "sign-missing", remedies=remedies))
        return -1 if entered.sign == "-" else 1
    if entered.sign:
        wrong = f"The amount of a {cause} stands without a sign: its direction is known."
        remedies = (Remedy(f"{bare} is meant", resent(pointer, bare)),)
        raise Invalid(wrong, at(pointer, wrong, "sign-not-wanted", remedies=remedies))
    return 1 if cause == "receipt" else -1


def resent(pointer: str, value: Any) -> Any:
    """The merge patch that sets one field, which stands in objects only."""
    for name in reversed(pointer.removeprefix("#/").split("/")):
        value = {name: value}
    return value
