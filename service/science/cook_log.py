"""A cook's thermometer log: what it saw, where it saw nothing, how fast it rose and how far it got.

Between two readings the temperature is taken to run along a straight line; over a gap nothing is.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from statistics import median
from typing import NamedTuple

from service.science.cook_time import CookReading, equivalent_time_of_log
from service.science.errors import NotApplicable, OutOfRange
from service.science.ranges import above, number, within
from service.science.rounding import from_float

COLDEST_C, HOTTEST_C = -20, 400
_LONGEST_MIN = 100_000_000_000  # the clock of a logger may have stood in any year
_MOST_READINGS = 100_000
_PIECE = 9_000  # readings that the sum of one cook takes at once
_PIECE_MIN = 9_000
_USUAL_TIMES = 5
_LEAST_GAP_MIN = 2
_Log = list[tuple[float, float]]


class Gap(NamedTuple):
    """A stretch without a reading.

    Fields: start_min, end_min [min, since the start].
    """

    start_min: Decimal
    end_min: Decimal

    @property
    def minutes(self) -> Decimal:
        """How long nothing was seen."""
        return self.end_min - self.start_min


class TimeAbove(NamedTuple):
    """How long a cook was seen at a temperature or above it.

    Fields: threshold_c [°C]; minutes [min]; first_min [min, since the start, when it was first seen
    there; None: never].
    """

    threshold_c: Decimal
    minutes: Decimal
    first_min: Decimal | None


class Ramp(NamedTuple):
    """A change of temperature over a window.

    Fields: k_min [K/min, below 0 for a fall]; at_min [min, since the start, where the window
    begins].
    """

    k_min: Decimal
    at_min: Decimal


class CookSummary(NamedTuple):
    """What a log says of a cook.

    Fields: highest_c [°C]; highest_min [min, since the start, first time]; span_min [min, from the
    first reading to the last]; gaps; above; rise, fall [the steepest; None where there is none,
    or no window fits between two gaps].
    """

    highest_c: Decimal
    highest_min: Decimal
    span_min: Decimal
    gaps: tuple[Gap, ...]
    above: tuple[TimeAbove, ...]
    rise: Ramp | None
    fall: Ramp | None

    @property
    def seen_min(self) -> Decimal:
        """The time without the gaps."""
        return self.span_min - sum((gap.minutes for gap in self.gaps), Decimal(0))


def usual_gap(readings: Sequence[CookReading]) -> Decimal:
    """Say from which length on a stretch without a reading is a gap of this log.

    Parameters: readings [list of `CookReading`; two or more].
    Returns: [min] five times the usual interval, two minutes at least.
    Raises: NotApplicable for fewer, OutOfRange for any of them or for a reading that is not later
    than the one before.
    Source: common practice.

    >>> usual_gap([CookReading(Decimal(n), Decimal(20)) for n in (0, 1, 2, 30)])
    Decimal('5')
    """
    between = [after[0] - before[0] for before, after in pairwise(_read(readings))]
    if not between:
        raise NotApplicable("one reading has no interval", "send two or more", field="readings")
    return max(Decimal(_LEAST_GAP_MIN), from_float(_USUAL_TIMES * median(between)))


def cook_summary(
    readings: Sequence[CookReading],
    above_c: Sequence[Decimal] = (),
    *,
    window_min: Decimal,
    longest_gap_min: Decimal,
) -> CookSummary:
    """Say of a log how hot it was and when, how long above each temperature, how fast it changed.

    Parameters: readings [list of `CookReading`; 1 to 100000, here from -20 to 400 °C and 0 to
    100000000000 min]; above_c [°C, -20 to 400 each; temperatures to ask for]; window_min [min,
    above 0 up to 1440; over which a change is taken]; longest_gap_min [min, above 0; a longer
    stretch without a reading counts for nothing].
    Returns: the summary; on a straight line between two readings a temperature is crossed where the
    line crosses it.
    Raises: NotApplicable without a reading, OutOfRange for any of them or for a reading that is not
    later than the one before.
    Source: geometry; the straight line is common practice.

    >>> log = [CookReading(Decimal(0), Decimal(20)), CookReading(Decimal(50), Decimal(120)),
    ...        CookReading(Decimal(60), Decimal(120))]
    >>> found = cook_summary(log, [Decimal(100)], window_min=Decimal(5),
    ...                      longest_gap_min=Decimal(60))
    >>> found.above[0].minutes, found.above[0].first_min, found.rise.k_min
    (Decimal('20'), Decimal('40'), Decimal('2'))
    """
    log = _read(readings)
    window = float(above(window_min, 0, high=1440, name="window_min"))
    longest = float(above(longest_gap_min, 0, high=_LONGEST_MIN, name="longest_gap_min"))
    pieces = list(_pieces(log, longest))
    hottest = max(range(len(log)), key=lambda place: (log[place][1], -place))
    changes = [change for piece in pieces for change in _changes(piece, window)]
    return CookSummary(
        highest_c=readings[hottest].temperature_c,
        highest_min=readings[hottest].minutes - readings[0].minutes,
        span_min=readings[-1].minutes - readings[0].minutes,
        gaps=tuple(
            Gap(_since(log, before[-1][0]), _since(log, after[0][0]))
            for before, after in pairwise(pieces)
        ),
        above=tuple(_above(log, pieces, _threshold(each)) for each in above_c),
        rise=_ramp(log, max((change for change in changes if change[0] > 0), default=None)),
        fall=_ramp(log, min((change for change in changes if change[0] < 0), default=None)),
    )


def equivalent_minutes(
    readings: Sequence[CookReading],
    reference_c: Decimal,
    *,
    activation_energy_kj_mol: Decimal,
    longest_gap_min: Decimal,
) -> Decimal:
    """Turn a log of any length into minutes at one temperature; its gaps count for nothing.

    Parameters: readings [list of `CookReading`; two or more, up to 100000, 0-350 °C]; reference_c
    [°C, 100-350; the temperature to compare at]; activation_energy_kj_mol [kJ/mol, 20-300; of this
    process]; longest_gap_min [min, above 0; a longer stretch without a reading counts for nothing].
    Returns: [min] at the reference that cook as far as what was seen.
    Raises: NotApplicable where no two readings stand together, OutOfRange for any of them.
    Source: `equivalent_time_of_log`, whose integral adds up over stretches.

    >>> log = [CookReading(Decimal(0), Decimal(280)), CookReading(Decimal(60), Decimal(280))]
    >>> equivalent_minutes(log, Decimal(280), activation_energy_kj_mol=Decimal(120),
    ...                    longest_gap_min=Decimal(90))
    Decimal('60')
    """
    longest = float(above(longest_gap_min, 0, high=_LONGEST_MIN, name="longest_gap_min"))
    log, found, start, pieces = _read(readings), Decimal(0), 0, 0
    for piece in _pieces(log, longest):
        mine = readings[start : start + len(piece)]
        start += len(piece)
        for part in _parts(mine):
            pieces += 1
            found += equivalent_time_of_log(
                part, reference_c, activation_energy_kj_mol=activation_energy_kj_mol
            ).minutes
    if not pieces:
        wrong = "no two readings stand without a gap between them"
        raise NotApplicable(wrong, "allow a longer gap", field="longest_gap_min")
    return found


def _read(readings: Sequence[CookReading]) -> _Log:
    """The log as plain pairs, each later than the one before."""
    if not 1 <= len(readings) <= _MOST_READINGS:
        wrong = f"the log has {len(readings)} readings"
        raise NotApplicable(wrong, f"send 1 to {_MOST_READINGS}", field="readings")
    log: _Log = []
    for place, each in enumerate(readings):
        at = f"readings/{place}"
        minutes = within(each.minutes, 0, high=_LONGEST_MIN, name=f"{at}/minutes")
        celsius = within(each.temperature_c, COLDEST_C, high=HOTTEST_C, name=f"{at}/temperature_c")
        if log and minutes <= readings[place - 1].minutes:
            raise OutOfRange(
                f"reading {place + 1} is not later than the one before",
                "send the readings in their order, each with its minutes since the start",
                field=f"{at}/minutes",
            )
        log.append((float(minutes), float(celsius)))
    return log


def _threshold(celsius: Decimal) -> Decimal:
    return within(number(celsius, "above_c"), COLDEST_C, high=HOTTEST_C, name="above_c")


def _pieces(log: _Log, longest: float) -> Iterator[_Log]:
    """The log broken at its gaps."""
    piece = log[:1]
    for before, after in pairwise(log):
        if after[0] - before[0] > longest:
            yield piece
            piece = []
        piece.append(after)
    yield piece


def _above(log: _Log, pieces: Sequence[_Log], threshold: Decimal) -> TimeAbove:
    level, minutes, first = float(threshold), 0.0, None
    for piece in pieces:
        if first is None and piece[0][1] >= level:
            first = piece[0][0]
        for before, after in pairwise(piece):
            share = _share_above(before[1] - level, after[1] - level)
            minutes += share * (after[0] - before[0])
            if first is None and after[1] >= level:
                first = after[0] - share * (after[0] - before[0])
    return TimeAbove(threshold, from_float(minutes), None if first is None else _since(log, first))


def _share_above(before: float, after: float) -> float:
    """How much of a straight line lies at zero or above."""
    if before >= 0 and after >= 0:
        return 1.0
    if before < 0 and after < 0:
        return 0.0
    return max(before, after) / abs(after - before)


def _changes(piece: _Log, window: float) -> Iterator[tuple[float, float]]:
    """The change a minute over each window that begins or ends at a reading, and where it begins;
    on straight lines the steepest of all windows is among these."""
    last = piece[-1][0]
    starts = [at for at, _ in piece if at + window <= last]
    starts += [at - window for at, _ in piece if at - window >= piece[0][0]]
    starts.sort()
    begun = _along(piece, starts)
    ended = _along(piece, [start + window for start in starts])
    for start, before, after in zip(starts, begun, ended, strict=True):
        yield (after - before) / window, start


def _along(piece: _Log, times: Sequence[float]) -> Iterator[float]:
    """The temperature at each of some times in rising order."""
    place = 0
    for at in times:
        while place < len(piece) - 2 and piece[place + 1][0] < at:
            place += 1
        (start, low), (end, high) = piece[place], piece[place + 1]
        yield low + (high - low) * (at - start) / (end - start)


def _ramp(log: _Log, change: tuple[float, float] | None) -> Ramp | None:
    return None if change is None else Ramp(from_float(change[0]), _since(log, change[1]))


def _since(log: _Log, minutes: float) -> Decimal:
    return from_float(minutes - log[0][0])


def _parts(piece: Sequence[CookReading]) -> Iterator[list[CookReading]]:
    """A stretch in parts that one sum can take, each beginning where the one before ended."""
    part: list[CookReading] = []
    for each in piece:
        part.append(each)
        if len(part) >= _PIECE or each.minutes - part[0].minutes > _PIECE_MIN:
            yield _from_start(part)
            part = [each]
    if len(part) > 1:
        yield _from_start(part)


def _from_start(part: Sequence[CookReading]) -> list[CookReading]:
    start = part[0].minutes
    return [CookReading(each.minutes - start, each.temperature_c) for each in part]
