"""A logger's file read by itself: whatever the bytes, it is read or refused by name."""

from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.batches.bodies.cook_files import LogForm
from service.workshop.batches.logger.files import LogFile, read
from service.workshop.batches.logger.times import Unclear, reader
from service.workshop.batches.rules import LoggerFile

PLAIN = {"at": ["Time"], "temperature": "Temp", "zone": "UTC"}
instants = st.integers(978_307_200, 7_226_582_400).map(  # 2001 to 2198
    lambda seconds: datetime.fromtimestamp(seconds, UTC)
)
words = st.sampled_from(
    ["Time", "Temp", "2026-11-25 13:05", "25.11.26 13:05", "60", "60,5", "4000", "", "NaN", '"']
)
forms = st.fixed_dictionaries(
    {},
    optional={
        "device": st.just("PI"),
        "unit": st.sampled_from("CFK"),
        "times": st.sampled_from(["iso", "day-first", "month-first", "unix"]),
        "separator": st.sampled_from(["comma", "semicolon", "tab"]),
        "decimal": st.sampled_from(["point", "comma"]),
        "encoding": st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "latin-1"]),
        "header_row": st.integers(1, 5),
        "order": st.sampled_from(["as-timed", "any"]),
        "every": st.integers(1, 5),
        "skip": st.integers(0, 5),
    },
)


def form(**more: Any) -> LogForm:
    """The plain form, with what is stated otherwise."""
    return LogForm(**{**PLAIN, **more})


def read_or_refused(body: bytes, stated: LogForm) -> LogFile | None:
    """The file, or None where it is refused with something to say."""
    try:
        return read(body, stated)
    except LoggerFile as error:
        refusal = error
    assert refusal.detail
    assert all(fault.pointer or fault.parameter or fault.detail for fault in refusal.faults)
    return None


@given(st.binary(max_size=300), forms)
def test_no_bytes_break_the_reading(body: bytes, stated: dict[str, Any]) -> None:
    read_or_refused(body, form(**stated))


@given(st.lists(st.lists(words, max_size=4), max_size=8), forms)
def test_no_table_breaks_the_reading(table: list[list[str]], stated: dict[str, Any]) -> None:
    found = read_or_refused(
        "\n".join(["Time,Temp", *(",".join(row) for row in table)]).encode(), form(**stated)
    )
    if found is not None:
        times = [row.at for row in found.rows]
        assert times == sorted(times)


@given(st.lists(st.tuples(instants, st.decimals(-20, 400, places=2)), min_size=1, max_size=20))
def test_what_a_logger_wrote_is_read_as_it_was(pairs: list[tuple[datetime, Decimal]]) -> None:
    pairs.sort()
    lines = [f"{at:%Y-%m-%d %H:%M:%S},{hot}" for at, hot in pairs]
    found = read("\n".join(["Time,Temp", *lines]).encode(), form())
    assert [(row.at, row.celsius) for row in found.rows] == pairs


@given(
    st.lists(st.tuples(instants, st.decimals(0, 300, places=1)), min_size=1, max_size=20),
    st.sampled_from(["day-first", "month-first"]),
)
def test_another_way_of_writing_says_the_same(
    pairs: list[tuple[datetime, Decimal]], times: str
) -> None:
    pairs.sort()
    day = "%d.%m.%Y %H:%M:%S" if times == "day-first" else "%m/%d/%Y %I:%M:%S %p"
    lines = [f"{at.strftime(day)};{str(hot).replace('.', ',')}" for at, hot in pairs]
    stated = form(times=times, separator="semicolon", decimal="comma")
    found = read("\n".join(["Time;Temp", *lines]).encode(), stated)
    assert [(row.at, row.celsius) for row in found.rows] == pairs


def test_day_and_time_may_stand_apart() -> None:
    body = b"Day,Clock,Temp\n2026-11-25,13:05:00,60\n"
    assert read(body, form(at=["Day", "Clock"])).rows[0].at == datetime(
        2026, 11, 25, 13, 5, tzinfo=UTC
    )


@pytest.mark.parametrize(
    ("times", "cell"), [("elapsed-s", "90"), ("elapsed-min", "1.5"), ("unix", "1795611990")]
)
def test_counted_times_are_instants(times: str, cell: str) -> None:
    start = datetime(2026, 11, 25, 13, 5, tzinfo=UTC)
    stated = form(times=times, started_at=start.isoformat())
    assert read(f"Time,Temp\n{cell},60\n".encode(), stated).rows[0].at == datetime(
        2026, 11, 25, 13, 6, 30, tzinfo=UTC
    )


# 212 °F, 373.15 K and 100 °C are the boiling point of water at 101.325 kPa, by definition of
# the scales before 1990.
@pytest.mark.parametrize(("unit", "cell"), [("C", "100"), ("F", "212"), ("K", "373.15")])
def test_a_temperature_is_read_in_its_unit(unit: str, cell: str) -> None:
    body = f"Time,Temp\n2026-11-25 13:05,{cell}\n".encode()
    assert read(body, form(unit=unit)).rows[0].celsius == 100


@given(instants)
def test_a_clock_on_the_wall_is_never_guessed(instant: datetime) -> None:
    shown = instant.replace(tzinfo=None)
    there = ZoneInfo("Europe/London")
    folds = {shown.replace(tzinfo=there, fold=fold).utcoffset() for fold in (0, 1)}
    read_time = reader(form(zone="Europe/London"))
    if len(folds) == 1:
        assert read_time(shown.isoformat()) == shown.replace(tzinfo=there)
    else:
        with pytest.raises(Unclear, match="put forward or back"):
            read_time(shown.isoformat())


@pytest.mark.parametrize(("zone", "hours"), [("+01:00", 1), ("-0500", -5), ("01:00", 1)])
def test_a_clock_may_keep_one_offset(zone: str, hours: int) -> None:
    found = reader(form(zone=zone))("2026-10-25 01:30")
    offset = timezone(timedelta(hours=hours))
    assert found == datetime(2026, 10, 25, 1, 30, tzinfo=offset)


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"Time,Temp\n",
        b"Time,Temp\n\n , \n",
        b"Time,Temp\n2026-11-25 13:05,6\x000\n",
        b'Time,Temp\n2026-11-25 13:05,"60\n',
        b"Time,Temp\n2026-11-25 13:05," + b"6" * 200_000,
        b"Time,Temp\n2026-11-25 13:05,60,1\n",
        b"Time,Temp\n2026-11-25\n",
        b"Time,Temp\n" + b"\n" * 2_000_001,
        b"Time,Time,Temp\n2026-11-25 13:05,2026-11-25 13:05,60\n",
        b"Time,Temp\n1970-01-01 00:00:05,60\n",
        b"Time,Temp\n9999-12-31 23:59:59,60\n",
    ],
)
def test_what_is_no_log_is_refused(body: bytes) -> None:
    assert read_or_refused(body, form()) is None
