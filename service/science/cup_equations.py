"""The equation of each flow cup, held to the seconds that its cup measures."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.ranges import one_of, positive
from service.science.tables import rows

_OTHER_WAYS = (
    "read it by bubble tube, by bubble seconds against a kept standard, as string length in cm or "
    "as drop spread in mm, at a stated temperature; each is a reading of its own"
)


class Cup(NamedTuple):
    """A flow cup: viscosity = slope x (t - offset) - braking / t, between its two times."""

    name: str
    slope: Decimal
    offset: Decimal
    braking: Decimal
    shortest_s: Decimal
    longest_s: Decimal
    coolest_c: Decimal
    warmest_c: Decimal
    source: str
    within_percent: str
    note: str

    def viscosity(self, seconds: Decimal) -> Decimal:
        """The kinematic viscosity of these seconds, in mm2/s."""
        return self.slope * (seconds - self.offset) - self.braking / seconds

    def seconds(self, viscosity: Decimal) -> Decimal:
        """The seconds of a viscosity that the cup measures."""
        half = (viscosity + self.slope * self.offset) / 2
        found = (half + (half * half + self.slope * self.braking).sqrt()) / self.slope
        # The last digit of the root must not carry a limit of the cup beyond itself.
        return min(max(found, self.shortest_s), self.longest_s)

    def measures(self, viscosity: Decimal) -> bool:
        """Whether a viscosity takes no less and no more than the seconds of the cup."""
        return self.viscosity(self.shortest_s) <= viscosity <= self.viscosity(self.longest_s)

    def off_the_middle(self, viscosity: Decimal) -> Decimal:
        """How far the seconds of a viscosity lie from the middle of the range, as a share of it."""
        middle = (self.shortest_s + self.longest_s) / 2
        return abs(self.seconds(viscosity) - middle) / (self.longest_s - self.shortest_s)

    @property
    def standing(self) -> str:
        """What the equation rests on, and for which liquids it holds."""
        base = f"equation of {self.source}; for liquids that flow alike at any speed"
        if not self.within_percent:
            return base
        return f"{base}; calibration oils lie within {self.within_percent} %, worst at short times"

    @property
    def temperature(self) -> str:
        """The temperature at which the standard runs the cup."""
        if self.coolest_c == self.warmest_c:
            return f"{self.coolest_c} °C"
        return f"{self.coolest_c} or {self.warmest_c} °C"


def cups() -> tuple[str, ...]:
    """List the cups whose equation is known.

    Parameters: none. Raises: nothing. Source: tables/flow_cups.csv.

    >>> "ISO2431-4" in cups()
    True
    """
    return tuple(_cups())


def cup_named(cup: str, name: str = "cup") -> Cup:
    """Look up a flow cup with its equation.

    Parameters: cup [one of `cups()`]; name [text, the caller's parameter to blame].
    Returns: the cup. Raises: OutOfRange for one not in the table.
    Source: tables/flow_cups.csv.

    >>> cup_named("Zahn-2").temperature
    '25 °C'
    """
    return _cups()[one_of(cup, cups(), name=name)]


def viscosity_in_cup(cup: str, seconds: Decimal, name: str = "seconds") -> Decimal:
    """Turn seconds of a flow cup into the bare kinematic viscosity.

    Parameters: cup [one of `cups()`]; seconds [s, 20-150; each cup within its own range]; name
    [text, the caller's parameter to blame].
    Returns: [mm2/s] the kinematic viscosity.
    Raises: OutOfRange for an unknown cup or seconds outside its range.
    Source: tables/flow_cups.csv.

    >>> viscosity_in_cup("Zahn-2", Decimal(35))
    Decimal('73.5')
    """
    one = cup_named(cup)
    viscosity = one.viscosity(positive(seconds, name))
    if not one.shortest_s <= seconds <= one.longest_s:
        raise OutOfRange(
            f"{seconds:.8g} s is outside {one.shortest_s}-{one.longest_s} s, the range of {cup}",
            elsewhere(viscosity),
            field=name,
        )
    return viscosity


def seconds_in_cup(cup: str, viscosity_mm2_s: Decimal, name: str = "viscosity_mm2_s") -> Decimal:
    """Turn a viscosity into the bare seconds of a flow cup.

    Parameters: cup [one of `cups()`]; viscosity_mm2_s [mm2/s, 6.6-1840; each cup within its own
    range]; name [text, the caller's parameter to blame].
    Returns: [s] the time of the cup.
    Raises: OutOfRange for an unknown cup or a viscosity that it does not measure.
    Source: tables/flow_cups.csv.

    >>> seconds_in_cup("Zahn-5", Decimal(460))
    Decimal('20')
    """
    one = cup_named(cup)
    if not one.measures(positive(viscosity_mm2_s, name)):
        low, high = one.viscosity(one.shortest_s), one.viscosity(one.longest_s)
        wrong = f"{viscosity_mm2_s:.8g} mm2/s is outside {low:.4g}-{high:.4g} mm2/s"
        raise OutOfRange(f"{wrong}, the range of {cup}", elsewhere(viscosity_mm2_s), field=name)
    return one.seconds(viscosity_mm2_s)


def cups_that_measure(viscosity_mm2_s: Decimal) -> tuple[Cup, ...]:
    """Find the cups that measure a viscosity, without those whose standard was withdrawn.

    Parameters: viscosity_mm2_s [mm2/s, any]. Raises: nothing. Returns: the cups, perhaps none.
    Source: tables/flow_cups.csv.

    >>> [cup.name for cup in cups_that_measure(Decimal(1200))]
    ['Zahn-5']
    """
    return tuple(cup for cup in _cups().values() if cup.measures(viscosity_mm2_s) and not cup.note)


def elsewhere(viscosity_mm2_s: Decimal) -> str:
    """Say where else a body can be read that the cup at hand does not measure.

    Parameters: viscosity_mm2_s [mm2/s, any]. Raises: nothing. Returns: the advice in words.
    Source: tables/flow_cups.csv; bubble tube as in ASTM D1545 (from memory).

    >>> elsewhere(Decimal(1200))
    'take a cup that measures such a body: Zahn-5'
    """
    if fitting := cups_that_measure(viscosity_mm2_s):
        return f"take a cup that measures such a body: {', '.join(one.name for one in fitting)}"
    if viscosity_mm2_s > max(cup.viscosity(cup.longest_s) for cup in _cups().values()):
        return f"beyond every cup: {_OTHER_WAYS}"
    return "thinner than any cup measures: time it in a glass capillary"


@functools.cache
def _cups() -> dict[str, Cup]:
    return {row["cup"]: _read(row) for row in rows("flow_cups.csv")}


def _read(row: dict[str, str]) -> Cup:
    return Cup(
        row["cup"],
        Decimal(row["slope"]),
        Decimal(row["offset_s"]),
        Decimal(row["braking"]),
        Decimal(row["shortest_s"]),
        Decimal(row["longest_s"]),
        Decimal(row["coolest_c"]),
        Decimal(row["warmest_c"]),
        f"{row['standard']}, {row['origin']}",
        row["within_percent"],
        row["note"],
    )
