"""Cook time: minutes at other temperatures as minutes at one, by the rate of one reaction."""

import math
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import above, count, within
from service.science.results import Estimate, Standing
from service.science.rounding import from_float

_GAS_J_MOL_K = 8.314462618
_ZERO_C = 273.15
_LEAST_ENERGY, _MOST_ENERGY = 20, 300
_USUAL_ENERGY = (100, 160)
_LONGEST_MIN = 10_000
# Three points of Gauss in pieces of 5 K follow the rate to a millionth at the steepest.
_PIECE_K = 5
_POINTS = ((-math.sqrt(0.6), 5 / 18), (0.0, 8 / 18), (math.sqrt(0.6), 5 / 18))
_ONE_REACTION = (
    "holds while one reaction with the energy sent rules: not across foaming, driers added or air "
    "blown in"
)


class CookStep(NamedTuple):
    """A stretch of a cook at one temperature.

    Fields: minutes [min, 0-10000]; temperature_c [°C, 0-350].
    """

    minutes: Decimal
    temperature_c: Decimal


class CookReading(NamedTuple):
    """A reading of the kettle's thermometer.

    Fields: minutes [min, 0-10000; since the start, each later than the one before]; temperature_c
    [°C, 0-350].
    """

    minutes: Decimal
    temperature_c: Decimal


class EquivalentTime(NamedTuple):
    """The minutes at one temperature that did as much, and the minutes on the clock."""

    minutes: Decimal
    on_the_clock_min: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


def equivalent_time(
    steps: Sequence[CookStep], reference_c: Decimal, *, activation_energy_kj_mol: Decimal
) -> EquivalentTime:
    """Turn a cook in steps, each at one temperature, into minutes at one temperature.

    Parameters: steps [list of `CookStep`; one or more]; reference_c [°C, 100-350; the temperature
    to compare at]; activation_energy_kj_mol [kJ/mol, 20-300; of this process, thermal
    bodying of linseed 100 to 160].
    Returns: the minutes at that temperature that cook as far, and the minutes on the clock.
    Raises: NotApplicable without a step, OutOfRange for any of them.
    Source: Arrhenius rate, gas constant of CODATA 2018; usual energy from memory.

    >>> round(equivalent_time([CookStep(Decimal(60), Decimal(270))], Decimal(280),
    ...       activation_energy_kj_mol=Decimal(120)).minutes, 2)
    Decimal('37.11')
    """
    count(steps, 1, name="steps")
    energy, at_reference = _energy(activation_energy_kj_mol), _reference(reference_c)
    parts = []
    for place, each in enumerate(steps):
        minutes, celsius = _reading(each, f"steps/{place}")
        parts.append(minutes * _rate(celsius, at_reference, energy=energy))
    clock = sum((each.minutes for each in steps), Decimal(0))
    return _found(math.fsum(parts), clock, energy=activation_energy_kj_mol)


def equivalent_time_of_log(
    readings: Sequence[CookReading], reference_c: Decimal, *, activation_energy_kj_mol: Decimal
) -> EquivalentTime:
    """Turn the thermometer readings of a cook into minutes at one temperature.

    Parameters: readings [list of `CookReading`; two or more, a steady rise has its start and its
    end]; reference_c [°C, 100-350; the temperature to compare at]; activation_energy_kj_mol
    [kJ/mol, 20-300; of this process, thermal bodying of linseed 100 to 160].
    Returns: the minutes at that temperature that cook as far, and the minutes on the clock.
    Raises: NotApplicable for fewer than two readings, OutOfRange for any of them or for a reading
    that is not later than the one before.
    Source: Arrhenius rate summed up along a straight line between readings, gas constant of
    CODATA 2018; usual energy from memory.

    >>> round(equivalent_time_of_log([CookReading(Decimal(0), Decimal(200)),
    ...       CookReading(Decimal(40), Decimal(280))], Decimal(280),
    ...       activation_energy_kj_mol=Decimal(120)).minutes, 2)
    Decimal('9.78')
    """
    count(readings, 2, name="readings")
    energy, at_reference = _energy(activation_energy_kj_mol), _reference(reference_c)
    read = [_reading(each, f"readings/{place}") for place, each in enumerate(readings)]
    parts = []
    for place, (before, after) in enumerate(pairwise(read), 1):
        if after[0] <= before[0]:
            raise OutOfRange(
                f"reading {place + 1} is not later than the one before",
                "send the readings in their order, each with its minutes since the start",
                field=f"readings/{place}/minutes",
            )
        rates = _along(before[1], after[1])
        mean = math.fsum(share * _rate(at, at_reference, energy=energy) for at, share in rates)
        parts.append((after[0] - before[0]) * mean)
    clock = readings[-1].minutes - readings[0].minutes
    return _found(math.fsum(parts), clock, energy=activation_energy_kj_mol)


def q10(temperature_c: Decimal, activation_energy_kj_mol: Decimal) -> Estimate:
    """Give how many times faster a cook goes when it is 10 K hotter.

    Parameters: temperature_c [°C, 0-340; before]; activation_energy_kj_mol [kJ/mol, 20-300; of
    this process, thermal bodying of linseed 100 to 160].
    Returns: [1] the rate 10 K hotter over the rate now.
    Raises: OutOfRange for either.
    Source: Arrhenius rate, gas constant of CODATA 2018.

    >>> round(q10(Decimal(280), Decimal(120)).value, 4)
    Decimal('1.5893')
    """
    before = float(within(temperature_c, 0, high=340, name="temperature_c"))
    ratio = _rate(before + 10, before, energy=_energy(activation_energy_kj_mol))
    return Estimate(from_float(ratio), Standing.THEORETICAL, _ONE_REACTION)


def activation_energy(
    cool_min: Decimal, cool_c: Decimal, *, hot_min: Decimal, hot_c: Decimal
) -> Estimate:
    """Find the activation energy of a process from two cooks that came equally far.

    Parameters: cool_min [min, above 0 up to 10000; of the cooler cook]; cool_c [°C, 0-345]; hot_min
    [min, above 0 up to 10000; of the hotter cook, shorter]; hot_c [°C, up to 350; 5 K or more above
    the cooler].
    Returns: [kJ/mol] the activation energy.
    Raises: OutOfRange for any of them; NotApplicable where the energy would lie outside 20 to 300.
    Source: Arrhenius rate of two temperatures, gas constant of CODATA 2018.

    >>> round(activation_energy(Decimal(60), Decimal(270), hot_min=Decimal("37.1129"),
    ...                         hot_c=Decimal(280)).value, 1)
    Decimal('120.0')
    """
    above(cool_min, 0, high=_LONGEST_MIN, name="cool_min")
    above(hot_min, 0, high=_LONGEST_MIN, name="hot_min")
    within(cool_c, 0, high=345, name="cool_c")
    within(hot_c, cool_c + 5, high=350, name="hot_c")
    inverse_kelvin = 1 / (float(cool_c) + _ZERO_C) - 1 / (float(hot_c) + _ZERO_C)
    joules = _GAS_J_MOL_K * math.log(float(cool_min) / float(hot_min)) / inverse_kelvin
    if not _LEAST_ENERGY <= joules / 1000 <= _MOST_ENERGY:
        raise NotApplicable(
            f"the activation energy would be {joules / 1000:.3g} kJ/mol",
            "cooks of the trade have 20 to 300: check that both came equally far",
            field="hot_min",
        )
    why = f"from two cooks that came equally far; {_ONE_REACTION}"
    return Estimate(from_float(joules / 1000), Standing.APPROXIMATE, why)


def _energy(kj_mol: Decimal) -> float:
    """The energy in J/mol."""
    name = "activation_energy_kj_mol"
    return 1000 * float(within(kj_mol, _LEAST_ENERGY, high=_MOST_ENERGY, name=name))


def _reference(celsius: Decimal) -> float:
    return float(within(celsius, 100, high=350, name="reference_c"))


def _reading(each: CookStep | CookReading, at: str) -> tuple[float, float]:
    minutes = within(each.minutes, 0, high=_LONGEST_MIN, name=f"{at}/minutes")
    celsius = within(each.temperature_c, 0, high=350, name=f"{at}/temperature_c")
    return float(minutes), float(celsius)


def _rate(celsius: float, reference_c: float, *, energy: float) -> float:
    """The rate at a temperature over the rate at the reference."""
    inverse_kelvin = 1 / (celsius + _ZERO_C) - 1 / (reference_c + _ZERO_C)
    return math.exp(-energy / _GAS_J_MOL_K * inverse_kelvin)


def _along(start_c: float, end_c: float) -> Iterator[tuple[float, float]]:
    """The temperatures at which a straight line is weighed, each with its share of the time."""
    pieces = max(1, math.ceil(abs(end_c - start_c) / _PIECE_K))
    half = (end_c - start_c) / pieces / 2
    for piece in range(pieces):
        middle = start_c + (2 * piece + 1) * half
        for point, share in _POINTS:
            yield middle + point * half, share / pieces


def _found(minutes: float, clock: Decimal, *, energy: Decimal) -> EquivalentTime:
    low, high = _USUAL_ENERGY
    note = f"thermal bodying of linseed has {low} to {high} kJ/mol: give your reason for another"
    usual = low <= energy <= high
    return EquivalentTime(
        from_float(minutes),
        clock,
        Standing.THEORETICAL,
        _ONE_REACTION,
        () if usual else (note,),
    )
