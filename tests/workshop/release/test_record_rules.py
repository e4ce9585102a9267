"""When an item of a batch record stands: laws, and how its data is told."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.release.record.cells import cell, date_and_time, give_or_take, grouped
from service.workshop.release.record.items import (
    TITLES,
    OfFill,
    differing,
    filled_item,
    instant,
    item,
    missing,
)

FILLS = st.lists(
    st.builds(OfFill, st.just({}), st.lists(st.text(min_size=1), max_size=2), st.booleans())
)


def test_the_items_are_fourteen_in_their_order() -> None:
    assert list(TITLES) == [f"A{number}" for number in range(14)]


@given(FILLS)
def test_an_item_of_packs_stands_exactly_if_packs_are_there_and_lack_nothing(
    fills: list[OfFill],
) -> None:
    found = filled_item("A6", fills, {})
    complete = bool(fills) and not any(fill.lacks for fill in fills)
    assert (found.stands == "yes") == complete == (not found.lacks)


@given(FILLS)
def test_only_a_released_pack_that_lacks_something_is_too_late(fills: list[OfFill]) -> None:
    late = any(fill.lacks and fill.released for fill in fills)
    assert (filled_item("A6", fills, {}).stands == "no") == late


@given(st.lists(st.tuples(st.sampled_from(sorted(TITLES)), st.lists(st.text(min_size=1)))))
def test_what_is_missing_is_what_does_not_stand(given_items: list[tuple[str, list[str]]]) -> None:
    items = [item(name, lacks, {}) for name, lacks in given_items]
    assert missing(items) == [name for name, lacks in given_items if lacks]


def test_items_differ_by_what_they_say_now_and_by_being_new() -> None:
    now = [item("A1", [], {"steps": 2}).as_json(), item("A2", [], {}).as_json()]
    held = [item("A1", [], {"steps": 1}).as_json()]
    assert differing(now, held) == ["A1", "A2"]
    assert differing(now, now) == []


def test_instants_are_told_in_utc_to_the_second() -> None:
    summer = datetime(2026, 9, 15, 12, 40, 7, 999, tzinfo=timezone(timedelta(hours=1)))
    assert instant(summer) == "2026-09-15T11:40:07Z"
    assert instant(None) is None
    assert date_and_time(instant(datetime(2026, 9, 15, 11, 40, tzinfo=UTC))) == "2026-09-15 11:40"


@pytest.mark.parametrize(
    ("about", "said"), [("PT12H", "± 12 h"), ("PT15M", "± 15 min"), ("PT9S", "± 9 s"), (None, "")]
)
def test_a_tolerance_of_time_is_told_as_people_write_it(about: str | None, said: str) -> None:
    assert give_or_take(about) == said


def test_a_digest_is_set_in_groups_and_stays_the_same() -> None:
    digest = "0123456789abcdef" * 4
    assert grouped(digest) == " ".join(["0123456789abcdef"] * 4)
    assert grouped(None) is None


def test_cells_say_yes_and_no_and_count() -> None:
    assert (cell(True), cell(False), str(cell(3)), cell(None), cell("oil")) == (
        "yes",
        "no",
        "3",
        "",
        "oil",
    )
