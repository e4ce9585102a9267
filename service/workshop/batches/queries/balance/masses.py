"""What a mass is worth: readings of balances, each as uncertain as its display is coarse."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.office.equipment import queries as equipment
from service.science.mass_balance import MassBalance, Weighed, mass_balance
from service.science.weighing import weighing_uncertainty
from service.store.session import ReadSession
from service.workshop.batches._tables import Weighing


@dataclass(frozen=True, slots=True)
class Mass:
    """A mass as it was read: on which balance, and in how many readings (two with its tare)."""

    mg: int
    balance: str | None = None
    readings: int = 1


@dataclass(frozen=True, slots=True)
class Weighings:
    """Masses with their standard uncertainties, and how many of them have none."""

    each: tuple[Weighed, ...]
    unknown: int


@dataclass(frozen=True, slots=True)
class Closing:
    """A mass balance; where readings have no uncertainty, its own is at least what it says."""

    balance: MassBalance
    unknown: int

    @property
    def allow_mg(self) -> Decimal:
        return 1000 * self.balance.expanded_uncertainty_g


def mass_of(row: Weighing) -> Mass:
    """A weighing, read once, or with the vessel and without."""
    return Mass(row.amount_mg, row.balance, 1 if row.tare is None else 2)


def with_uncertainty(session: ReadSession, masses: Sequence[Mass]) -> Weighings:
    """Each mass with what the display of its balance leaves open: a rectangle one step wide."""
    steps = _steps(session, masses)
    each = tuple(_weighed(mass, steps) for mass in masses if mass.mg > 0)
    return Weighings(each, sum(1 for mass in masses if mass.mg > 0 and _step(mass, steps) is None))


def closing(
    session: ReadSession, charged: Sequence[Mass], out: Sequence[Mass], away: Sequence[Mass] = ()
) -> Closing | None:
    """What went in against what came out, and what was weighed as it was thrown away; None while
    there is nothing on one of the sides."""
    into, came, gone = (with_uncertainty(session, each) for each in (charged, out, away))
    if not into.each or not came.each:
        return None
    unknown = into.unknown + came.unknown + gone.unknown
    return Closing(mass_balance(into.each, came.each, losses=gone.each), unknown)


def _steps(session: ReadSession, masses: Iterable[Mass]) -> dict[str, int | None]:
    codes = {mass.balance for mass in masses if mass.balance is not None}
    return {code: row.reads_to_mg for code, row in equipment.by_codes(session, codes).items()}


def _step(mass: Mass, steps: dict[str, int | None]) -> int | None:
    return None if mass.balance is None else steps.get(mass.balance)


def _weighed(mass: Mass, steps: dict[str, int | None]) -> Weighed:
    grams, step = Decimal(mass.mg) / 1000, _step(mass, steps)
    if not step:
        return Weighed(grams)
    found = weighing_uncertainty(Decimal(step) / 1000, mass.readings)
    return Weighed(grams, found.standard_uncertainty_g)
