"""What was seen, read by the list of words and put into sentences."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.panels.rules.flags import reading_flags
from service.workshop.panels.rules.sentences import (
    Condition,
    Exposure,
    Noticed,
    duration,
    measured,
    not_tried,
    outcome,
    sentence,
)
from service.workshop.panels.rules.words import Seen, WordUnknown, effects, extents, read_seen

WATER = Exposure("water", "spot-covered", contact_seconds=57600)


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("none", ()),
        ("Nothing seen.", ()),
        ("whitening, faint", (Seen("whitening", "faint"),)),
        ("faint whitening", (Seen("whitening", "faint"),)),
        (
            "color on cloth, strong; softening",
            (Seen("colour on cloth", "strong"), Seen("softening")),
        ),
        ("white ring, very slight", (Seen("whitening", "faint"),)),
    ],
)
def test_a_row_is_read_by_the_list_of_words(text: str, seen: tuple[Seen, ...]) -> None:
    assert read_seen(text) == seen


@pytest.mark.parametrize("text", ["resistant", "whitening, a bit", "", ";", "bloom; bloom", "ok"])
def test_a_word_outside_the_list_is_refused(text: str) -> None:
    with pytest.raises(WordUnknown):
        read_seen(text)


def test_the_refusal_lists_every_word() -> None:
    with pytest.raises(WordUnknown) as refused:
        read_seen("resistant")
    assert all(word in refused.value.hint for word in (*effects(), *extents()))


@given(st.sampled_from(sorted(effects())), st.sampled_from([None, *extents()]))
def test_every_effect_with_every_extent_reads_back_and_can_be_said(
    effect: str, extent: str | None
) -> None:
    text = f"{effect}, {extent}" if extent else effect
    assert read_seen(text) == (Seen(effect, extent),)
    assert outcome([Noticed(effect, extent)])


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (10, "10 s"),
        (90, "90 s"),
        (120, "2 min"),
        (5400, "1 h 30 min"),
        (57600, "16 h"),
        (172800, "48 h"),
        (604800, "7 d"),
        (2419200, "28 d"),
    ],
)
def test_a_time_is_said_as_the_trade_says_it(seconds: int, said: str) -> None:
    assert duration(seconds) == said


def test_a_reading_is_told_with_its_condition() -> None:
    seen = outcome([Noticed("whitening", "faint", 7200)])
    condition = Condition(Decimal(21), coats=3, age_days=28)
    assert sentence(WATER, condition, [seen]) == (
        "Water, one drop covered for 16 h at 21 °C, 3 coats 28 days old: "
        "faint whitening, gone after 2 h (1 trial)."
    )


def test_trials_that_differ_are_counted_apart() -> None:
    text = sentence(WATER, Condition(), ["bloom", "nothing seen", "nothing seen"])
    assert text.endswith("nothing seen (2 of 3 trials); bloom (1 of 3 trials).")


def test_details_behind_a_comma_stand_in_brackets_and_the_method_is_told() -> None:
    sweat = Exposure(
        "artificial perspiration, acid", "spot-open", contact_seconds=14400, method="own method"
    )
    assert sentence(sweat, Condition(Decimal(21)), ["nothing seen"] * 3) == (
        "Artificial perspiration (acid), open drop, 4 h at 21 °C, own method: "
        "nothing seen (3 trials)."
    )


def test_a_temperature_is_told_to_a_tenth() -> None:
    text = sentence(WATER, Condition(Decimal("21.111111111")), ["bloom"])
    assert text == "Water, one drop covered for 16 h at 21.1 °C: bloom (1 trial)."


def test_effects_gone_at_different_times_say_so_each() -> None:
    text = outcome([Noticed("bloom", "faint", 3600), Noticed("softening", None, 7200)])
    assert text == "faint bloom gone after 1 h, film softened gone after 2 h"


def test_what_was_not_tried_and_what_was_measured_are_told() -> None:
    assert not_tried(["mineral spirit"]) == "Not tried on this lot: mineral spirit."
    told = measured("Flow time", "62 s", method="ISO 2431, cup 4", temperature_c=Decimal(23), n=3)
    assert told == "Flow time 62 s, ISO 2431, cup 4 at 23 °C (measured, 3 trials)"


@pytest.mark.parametrize(
    ("on", "code"),
    [
        (date(2026, 11, 25), "reading-before-coat"),
        (date(2026, 11, 26), "reading-between-coats"),
        (date(2026, 11, 27), None),
    ],
)
def test_a_reading_and_its_coats_are_compared_by_day(on: date, code: str | None) -> None:
    flags = reading_flags(on, [date(2026, 11, 26), date(2026, 11, 27)])
    assert [flag.code for flag in flags] == ([code] if code else [])
