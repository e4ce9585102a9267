"""Flow cups: from seconds to viscosity and back, which cup to take, and whether runs agree."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.cup_equations import (
    Cup,
    cup_named,
    cups_that_measure,
    elsewhere,
    seconds_in_cup,
    viscosity_in_cup,
)
from service.science.cup_equations import cups as cups
from service.science.densities import plausible_density
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import count, positive, within
from service.science.results import Standing

_RUNS = "time two runs: one person repeats within about 5 %, two workshops agree within 10 %"
_MANY = "equations of several cups, for liquids that flow alike at any speed"
_WIDEST_SPREAD_PERCENT = 5
_USUAL_C = (20, 26)
_OFF_K = Decimal("0.5")


class CupViscosity(NamedTuple):
    """A viscosity with the seconds that the cup measures, and the temperature it is run at."""

    viscosity_mm2_s: Decimal
    shortest_s: Decimal
    longest_s: Decimal
    run_at: str
    standing: Standing
    why: str
    notes: tuple[str, ...]


class CupTime(NamedTuple):
    """The seconds in a cup, those that it measures, and the temperature it is run at."""

    seconds: Decimal
    shortest_s: Decimal
    longest_s: Decimal
    run_at: str
    standing: Standing
    why: str
    notes: tuple[str, ...]


class TimeInCup(NamedTuple):
    """A cup, the seconds in it, and the temperature it is run at."""

    cup: str
    seconds: Decimal
    run_at: str


class FittingCups(NamedTuple):
    """The cup best placed for a viscosity, and the seconds in each cup that measures it."""

    cup: str
    times: tuple[TimeInCup, ...]
    standing: Standing
    why: str


class CupRuns(NamedTuple):
    """The mean of runs in one cup, its viscosity, and whether the runs agree."""

    mean_s: Decimal
    viscosity_mm2_s: Decimal
    spread_percent: Decimal
    agree: bool
    standing: Standing
    why: str
    notes: tuple[str, ...]


def kinematic_viscosity(
    cup: str, seconds: Decimal, *, temperature_c: Decimal | None = None
) -> CupViscosity:
    """Turn the seconds of a flow cup into a kinematic viscosity.

    Parameters: cup [one of `cups()`]; seconds [s, 20-150; each cup within its own range];
    temperature_c [°C, 0-60; of the liquid as it ran], None if not measured.
    Returns: the viscosity at the temperature of the run, and the range and temperature of the cup.
    Raises: OutOfRange for a cup not in the table, seconds outside the range of the cup, or the
    temperature; the hint names the cups that measure such a body, or the ways beyond every cup.
    Source: tables/flow_cups.csv: ISO 2431 and DIN 53211 read second-hand, ASTM D1200 (Ford) and
    D4212 (Zahn) read on a maker's page; repeatability and effect of warmth from memory.

    >>> round(kinematic_viscosity("ISO2431-4", Decimal(62)).viscosity_mm2_s, 2)
    Decimal('81.71')
    """
    viscosity, one = viscosity_in_cup(cup, seconds), cup_named(cup)
    return CupViscosity(
        viscosity,
        one.shortest_s,
        one.longest_s,
        one.temperature,
        Standing.APPROXIMATE,
        one.standing,
        (*_about_warmth(one, temperature_c), _RUNS, *_about_cup(one)),
    )


def cup_seconds(
    cup: str, viscosity_mm2_s: Decimal, *, temperature_c: Decimal | None = None
) -> CupTime:
    """Find the seconds that a liquid of known kinematic viscosity takes in a flow cup.

    Parameters: cup [one of `cups()`]; viscosity_mm2_s [mm2/s, 6.6-1840; each cup within its own
    range]; temperature_c [°C, 0-60; at which the viscosity holds], None if not known.
    Returns: the seconds, and the range and temperature of the cup.
    Raises: OutOfRange for a cup not in the table, a viscosity that the cup does not measure, or
    the temperature; the hint names the cups that do, or the ways beyond every cup.
    Source: tables/flow_cups.csv solved for the seconds: ISO 2431, DIN 53211, ASTM D1200 and D4212.

    >>> round(cup_seconds("ISO2431-4", Decimal(100)).seconds, 2)
    Decimal('74.94')
    """
    seconds, one = seconds_in_cup(cup, viscosity_mm2_s), cup_named(cup)
    return _time(one, seconds, notes=_about_warmth(one, temperature_c))


def cups_for(viscosity_mm2_s: Decimal) -> FittingCups:
    """Find which flow cups measure a liquid of known or guessed viscosity.

    Parameters: viscosity_mm2_s [mm2/s, 6.6-1840].
    Returns: the cup whose range has the seconds nearest its middle, and the seconds in each cup
    that measures it and whose standard was not withdrawn.
    Raises: OutOfRange for a body thinner or thicker than every cup, with other ways to read it.
    Source: tables/flow_cups.csv; bubble tube as in ASTM D1545 (from memory).

    >>> cups_for(Decimal(1200)).cup
    'Zahn-5'
    """
    fitting = cups_that_measure(positive(viscosity_mm2_s, "viscosity_mm2_s"))
    if not fitting:
        raise OutOfRange(
            f"no flow cup here measures {viscosity_mm2_s:.8g} mm2/s",
            elsewhere(viscosity_mm2_s),
            field="viscosity_mm2_s",
        )
    times = tuple(
        TimeInCup(one.name, one.seconds(viscosity_mm2_s), one.temperature) for one in fitting
    )
    best = min(fitting, key=lambda one: one.off_the_middle(viscosity_mm2_s))
    return FittingCups(best.name, times, Standing.APPROXIMATE, _MANY)


def cup_to_cup(
    cup: str, seconds: Decimal, *, to_cup: str, waxed_or_gelled: bool = False
) -> CupTime:
    """Turn the seconds of one flow cup into those of another.

    Parameters: cup [one of `cups()`]; seconds [s, 20-150; in the first cup, within its range];
    to_cup [one of `cups()`]; waxed_or_gelled [yes or no, yes for goods that thin out when stirred,
    which no cup's seconds foretell].
    Returns: the seconds in the second cup, and its range and temperature.
    Raises: OutOfRange for a cup, or seconds outside the range of either; NotApplicable for waxed
    or gelled goods.
    Source: tables/flow_cups.csv, through the viscosity: ISO 2431, DIN 53211, ASTM D1200 and D4212.

    >>> round(cup_to_cup("Ford-4", Decimal(46), to_cup="Zahn-2").seconds, 1)
    Decimal('59.7')
    """
    first, second = cup_named(cup), cup_named(to_cup, "to_cup")
    viscosity = viscosity_in_cup(cup, seconds)
    if waxed_or_gelled:
        raise NotApplicable(
            "waxed and gelled goods flow otherwise in each cup",
            f"time them in {to_cup} itself",
            field="waxed_or_gelled",
        )
    if not second.measures(viscosity):
        wrong = f"{seconds:.8g} s in {cup} is {viscosity:.4g} mm2/s, outside the range of {to_cup}"
        raise OutOfRange(wrong, elsewhere(viscosity), field="to_cup")
    return _time(second, second.seconds(viscosity), notes=_about_two(first, second))


def cup_runs(cup: str, runs_s: Sequence[Decimal]) -> CupRuns:
    """Average runs of one liquid in one flow cup, and say whether they agree.

    Parameters: cup [one of `cups()`]; runs_s [s, each 20-150; two or more, each within the range
    of the cup].
    Returns: the mean, its viscosity, the spread in % of the mean, and whether it keeps to 5 %.
    Raises: OutOfRange for the cup or a run, NotApplicable for fewer than two runs.
    Source: ISO 2431, repeatability of about 5 % (from memory); tables/flow_cups.csv.

    >>> cup_runs("ISO2431-4", [Decimal(61), Decimal(63)]).mean_s
    Decimal('62')
    """
    how_many, one = count(runs_s, 2, name="runs_s"), cup_named(cup)
    for place, each in enumerate(runs_s):
        viscosity_in_cup(cup, each, f"runs_s/{place}")
    mean = sum(runs_s, Decimal(0)) / how_many
    spread = 100 * (max(runs_s) - min(runs_s)) / mean
    agree = spread <= _WIDEST_SPREAD_PERCENT
    apart = (
        "the runs differ by more than 5 %: time another; if it differs again, the liquid grows "
        "warmer or cooler between runs, or holds wax or gel that no cup measures"
    )
    return CupRuns(
        mean,
        one.viscosity(mean),
        spread,
        agree,
        Standing.APPROXIMATE,
        one.standing,
        (*(() if agree else (apart,)), *_about_cup(one)),
    )


def dynamic_viscosity(viscosity_mm2_s: Decimal, density_kg_l: Decimal) -> Decimal:
    """Turn a kinematic viscosity into a dynamic one.

    Parameters: viscosity_mm2_s [mm2/s, above 0]; density_kg_l [kg/l, 0.6-2.0; at the same
    temperature].
    Returns: [mPa.s] the dynamic viscosity. Raises: OutOfRange for either.
    Source: definition, dynamic = kinematic x density.

    >>> dynamic_viscosity(Decimal(135), Decimal("0.93"))
    Decimal('125.55')
    """
    return positive(viscosity_mm2_s, "viscosity_mm2_s") * plausible_density(density_kg_l)


def _time(cup: Cup, seconds: Decimal, *, notes: tuple[str, ...]) -> CupTime:
    return CupTime(
        seconds,
        cup.shortest_s,
        cup.longest_s,
        cup.temperature,
        Standing.APPROXIMATE,
        cup.standing,
        (*notes, *_about_cup(cup)),
    )


def _about_cup(cup: Cup) -> tuple[str, ...]:
    return (cup.note,) if cup.note else ()


def _about_two(first: Cup, second: Cup) -> tuple[str, ...]:
    if first.temperature == second.temperature:
        return ()
    runs = f"{first.name} is run at {first.temperature}, {second.name} at {second.temperature}"
    return (f"{runs}; this holds where the liquid is as warm in both",)


def _about_warmth(cup: Cup, temperature_c: Decimal | None) -> tuple[str, ...]:
    """A varnish thins out as it warms, so a viscosity says nothing without its temperature."""
    if temperature_c is None:
        return (f"say how warm the liquid is beside it; {cup.name} is run at {cup.temperature}",)
    warm = within(temperature_c, 0, high=60, name="temperature_c")
    notes = []
    if not _USUAL_C[0] <= warm <= _USUAL_C[1]:
        notes.append(f"{warm:.4g} °C is outside 20 to 26 °C, where cups are run")
    if not cup.coolest_c - _OFF_K <= warm <= cup.warmest_c + _OFF_K:
        notes.append(
            f"{cup.name} is run at {cup.temperature}: a varnish changes by 4 to 8 % for each K, so "
            f"this holds at {warm:.4g} °C alone"
        )
    return tuple(notes)
