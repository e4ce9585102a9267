"""Tests of films: what each measures, which end is the better, and at which age it is read."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable
from service.science.ranges import at_least, one_of, positive, within
from service.science.tables import rows

_REPORT_AGES_D = (7, 28, 90)
_ROOM_C, _ROOM_TOLERANCE_C = 23, 2
_HUMID_PERCENT, _HUMID_TOLERANCE_PERCENT = 50, 5
_MEK, _MEK_RUBS = "D4752", 50
_RUB_NOTES = {
    "D5402": "state the solvent and the end point; the standard sets no number to pass",
    _MEK: "rated 5 without effect to 0 through to the ground; written for zinc silicates with MEK",
}
_HALF_MM = Decimal("0.5")
_MEANINGS = (
    "not seen at x10",
    "seen only at x10",
    "just seen by eye",
    "clearly seen, to 0.5 mm",
    "0.5 mm to 5 mm",
    "larger than 5 mm",
)
_VISIBLE = "clearly visible"
_SEEN = {"not at x10": 0, "only at x10": 1, "just visible": 2, _VISIBLE: 3}


class FilmTest(NamedTuple):
    """A test: which end is the better, and what a report of it says."""

    better: str
    standard: str
    measures: str
    unit: str
    replicates: int
    least_age_d: Decimal | None
    say: str


class FilmAge(NamedTuple):
    """Whether a film is of an age for a test, the least age, and the next age of a report."""

    old_enough: bool
    least_age_d: Decimal | None
    next_report_d: Decimal | None
    notes: tuple[str, ...]


class RoomCheck(NamedTuple):
    """Whether the room is within the standard climate of a test room."""

    standard_room: bool
    off_k: Decimal
    off_percent: Decimal
    notes: tuple[str, ...]


class SolventRubs(NamedTuple):
    """The double rubs, and what the standard says of their number."""

    double_rubs: int
    standard: str
    notes: tuple[str, ...]


class DefectSize(NamedTuple):
    """The size class of a defect, 0 best, and what the class means."""

    size_class: str
    meaning: str


def film_test_names() -> tuple[str, ...]:
    """List the tests of films.

    Parameters: none. Raises: nothing. Returns: their names. Source: tables/film_tests.csv.

    >>> film_test_names()[:2]
    ('cross-cut', 'pencil')
    """
    return tuple(_tests())


def defect_visibilities() -> tuple[str, ...]:
    """List how a defect may be seen.

    Parameters: none. Raises: nothing. Returns: the words. Source: ISO 4628-1 (from memory).

    >>> defect_visibilities()[-1]
    'clearly visible'
    """
    return tuple(_SEEN)


def rub_standards() -> tuple[str, ...]:
    """List the standards that count double rubs with a solvent.

    Parameters: none. Raises: nothing. Returns: the standards. Source: ASTM.

    >>> rub_standards()
    ('D5402', 'D4752')
    """
    return tuple(_RUB_NOTES)


def report_ages() -> tuple[str, ...]:
    """List the ages in days at which films of oil varnish are reported.

    Parameters: none. Raises: nothing. Returns: the ages. Source: common practice.

    >>> report_ages()
    ('7', '28', '90')
    """
    return tuple(str(age) for age in _REPORT_AGES_D)


def film_test(test: str) -> FilmTest:
    """Look up how a test of a film is read and reported.

    Parameters: test [one of `film_test_names()`].
    Returns: which end of the result is the better, the standard, what it measures, replicates,
    the least age of an oxidising film, and what belongs in the report.
    Raises: OutOfRange for another word.
    Source: the standards named in tables/film_tests.csv, replicates and ages from memory.

    >>> film_test("bend").better
    'lower'
    """
    return _tests()[one_of(test, film_test_names(), name="test")]


def film_age(test: str, age_d: Decimal) -> FilmAge:
    """Tell whether an oxidising film is old enough for a test, and when it is next reported.

    Parameters: test [one of `film_test_names()`]; age_d [d, 0 or more; since the last coat].
    Returns: whether it is old enough, the least age, and the next of the ages 7, 28 and 90 d.
    Raises: OutOfRange for either; a reading taken too early is recorded all the same.
    Source: 7 d before mechanical and 28 d before chemical tests by agreement (from memory);
    report ages of oil varnish common practice.

    >>> film_age("pencil", Decimal(10))
    FilmAge(old_enough=True, least_age_d=Decimal('7'), next_report_d=Decimal('28'), notes=())
    """
    least = film_test(test).least_age_d
    at_least(age_d, 0, name="age_d")
    following = next((Decimal(age) for age in _REPORT_AGES_D if age >= age_d), None)
    if least is None:
        note = "drying is read before cure: every day until the last stage is reached"
        return FilmAge(True, None, following, (note,))
    if age_d < least:
        note = f"read at {age_d:.6g} d, before {least} d: record it, and say how old the film was"
        return FilmAge(False, least, following, (note,))
    return FilmAge(True, least, following, ())


def room_check(temperature_c: Decimal, humidity_percent: Decimal) -> RoomCheck:
    """Tell whether a room has the climate in which films are conditioned.

    Parameters: temperature_c [°C, -20 to 60]; humidity_percent [%, 0-100; relative humidity].
    Returns: whether it lies within 23 ± 2 °C and 50 ± 5 %, and how far off the middle.
    Raises: OutOfRange for either.
    Source: ISO 3270 (from memory).

    >>> room_check(Decimal(21), Decimal(55)).standard_room
    True
    """
    within(temperature_c, -20, high=60, name="temperature_c")
    within(humidity_percent, 0, high=100, name="humidity_percent")
    off_k, off_percent = temperature_c - _ROOM_C, humidity_percent - _HUMID_PERCENT
    fits = abs(off_k) <= _ROOM_TOLERANCE_C and abs(off_percent) <= _HUMID_TOLERANCE_PERCENT
    notes = () if fits else ("outside 23 ± 2 °C and 50 ± 5 %: state both with the reading",)
    return RoomCheck(fits, off_k, off_percent, notes)


def solvent_rubs(strokes: int, standard: str) -> SolventRubs:
    """Count the double rubs of a solvent-rub test.

    Parameters: strokes [1, 2 or more; one way, to the end point]; standard [one of
    `rub_standards()`].
    Returns: the double rubs, forward and back being one, and what the standard says of them.
    Raises: OutOfRange for either.
    Source: ASTM D5402-93 3.1 (read); ASTM D4752 (from memory).

    >>> solvent_rubs(41, "D5402").double_rubs
    20
    """
    at_least(Decimal(strokes), 2, name="strokes")
    one_of(standard, rub_standards(), name="standard")
    rubs = strokes // 2
    notes = [_RUB_NOTES[standard]]
    if strokes % 2:
        notes.append("one stroke forward without its way back is not counted")
    if standard == _MEK and rubs < _MEK_RUBS:
        notes.append(f"{rubs} of the {_MEK_RUBS} double rubs after which it is rated")
    return SolventRubs(rubs, standard, tuple(notes))


def defect_size_class(seen: str, size_mm: Decimal | None = None) -> DefectSize:
    """Give a defect of a film its size class.

    Parameters: seen [one of `defect_visibilities()`; x10 is a magnifier of ten times]; size_mm
    [mm, above 0; of a clearly visible defect, left out for a smaller one].
    Returns: the class, 0 for the smallest, with its meaning.
    Raises: OutOfRange for either; NotApplicable for a clearly visible defect without its size,
    or a size of one that is not.
    Source: ISO 4628-1 size classes (from memory).

    >>> defect_size_class("clearly visible", Decimal("0.8")).size_class
    '4'
    """
    one_of(seen, defect_visibilities(), name="seen")
    if size_mm is not None:
        positive(size_mm, "size_mm")
    if (size_mm is None) == (seen == _VISIBLE):
        raise NotApplicable(
            "a size belongs to a clearly visible defect, and to no other",
            "send size_mm with “clearly visible” alone",
            field="size_mm",
        )
    found = (
        _SEEN[seen] if size_mm is None else 3 if size_mm <= _HALF_MM else 4 if size_mm <= 5 else 5
    )
    return DefectSize(str(found), _MEANINGS[found])


@functools.cache
def _tests() -> dict[str, FilmTest]:
    return {row["test"]: _test(row) for row in rows("film_tests.csv")}


def _test(row: dict[str, str]) -> FilmTest:
    return FilmTest(
        better=row["better"],
        standard=row["standard"],
        measures=row["measures"],
        unit=row["unit"],
        replicates=int(row["replicates"]),
        least_age_d=Decimal(row["least_age_d"]) if row["least_age_d"] else None,
        say=row["say"],
    )
