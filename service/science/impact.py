"""Impact of a falling mass on a film: its energy, and the energy that a film stands."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.ranges import above, count

# Standard gravity in m/s2, the pound in kg and the inch in m, all exact.
_GRAVITY = Decimal("9.80665")
_J_PER_IN_LBF = Decimal("0.0254") * Decimal("0.45359237") * _GRAVITY
_J_PER_KGF_CM = _GRAVITY / 100
_HEAVIEST_KG = 20
_HIGHEST_M = 5
_DROPS = 5
_STATE = "state direct or reverse and the diameter of the indenter"


class ImpactEnergy(NamedTuple):
    """The energy of a falling mass, in the units that standards use."""

    energy_j: Decimal
    energy_in_lbf: Decimal
    energy_kgf_cm: Decimal


class ImpactDrop(NamedTuple):
    """One drop on the film.

    Fields: mass_kg [kg, above 0 up to 20]; height_m [m, above 0 up to 5]; cracked [yes or no,
    whether the film cracked].
    """

    mass_kg: Decimal
    height_m: Decimal
    cracked: bool


class ImpactResistance(NamedTuple):
    """The highest energy without a crack, None if all cracked, and the lowest with one."""

    passed_j: Decimal | None
    cracked_at_j: Decimal | None
    passed_in_lbf: Decimal | None
    passed_kgf_cm: Decimal | None
    drops: int
    notes: tuple[str, ...]


def impact_energy(mass_kg: Decimal, height_m: Decimal) -> ImpactEnergy:
    """Work out the energy of a mass that falls on a film.

    Parameters: mass_kg [kg, above 0 up to 20; of the falling mass]; height_m [m, above 0 up to 5;
    of its fall].
    Returns: the energy in joules, inch pounds force and kilogram force centimetres.
    Raises: OutOfRange for either.
    Source: mass times standard gravity (9.80665 m/s2) times height, as in ISO 6272-1 and ASTM
    D2794.

    >>> impact_energy(Decimal(1), Decimal("0.5")).energy_j
    Decimal('4.903325')
    """
    energy = _energy(mass_kg, height_m, at="")
    return ImpactEnergy(energy, energy / _J_PER_IN_LBF, energy / _J_PER_KGF_CM)


def impact_resistance(impacts: Sequence[ImpactDrop]) -> ImpactResistance:
    """Find the energy of impact that a film stands.

    Parameters: impacts [list of `ImpactDrop`; five a height near the threshold].
    Returns: the highest energy below the first crack, in three units, and the energy of that
    crack.
    Raises: OutOfRange for a number, NotApplicable for an empty list.
    Source: ISO 6272-1 and ASTM D2794 (from memory).

    >>> impact_resistance([ImpactDrop(Decimal(1), Decimal("0.4"), False),
    ...                    ImpactDrop(Decimal(1), Decimal("0.5"), True)]).passed_j
    Decimal('3.922660')
    """
    taken = count(impacts, 1, name="impacts")
    energies = [
        (_energy(each.mass_kg, each.height_m, at=f"impacts/{place}/"), each.cracked)
        for place, each in enumerate(impacts)
    ]
    crack = min((energy for energy, cracked in energies if cracked), default=None)
    whole = [energy for energy, cracked in energies if not cracked]
    passed = max((energy for energy in whole if crack is None or energy < crack), default=None)
    return ImpactResistance(
        passed,
        crack,
        None if passed is None else passed / _J_PER_IN_LBF,
        None if passed is None else passed / _J_PER_KGF_CM,
        taken,
        _notes(whole, passed, crack=crack),
    )


def _energy(mass_kg: Decimal, height_m: Decimal, *, at: str) -> Decimal:
    above(mass_kg, 0, high=_HEAVIEST_KG, name=f"{at}mass_kg")
    above(height_m, 0, high=_HIGHEST_M, name=f"{at}height_m")
    return mass_kg * height_m * _GRAVITY


def _notes(
    whole: list[Decimal], passed: Decimal | None, *, crack: Decimal | None
) -> tuple[str, ...]:
    notes = [_STATE]
    if crack is None:
        notes.append("nothing cracked: the film stands more than was tried")
    elif passed is None:
        notes.append("it cracked at the lowest energy tried: go lower")
    if crack is not None and any(energy > crack for energy in whole):
        notes.append("a harder blow left it whole: repeat near the threshold")
    if passed is not None and whole.count(passed) < _DROPS:
        notes.append(
            f"{whole.count(passed)} of {_DROPS} drops at the highest energy without a crack"
        )
    return tuple(notes)
