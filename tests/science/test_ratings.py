"""Ratings, whichever way their scale runs."""

import csv
import json
from decimal import Decimal
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.science.errors import NotApplicable, OutOfRange
from service.science.ratings import (
    better_rating,
    rating_scale,
    rating_scales,
    rating_valid,
    reported_rating,
)

SCALES = st.sampled_from(rating_scales())
TURNED = {"first": "second", "second": "first", "neither": "neither"}


@given(SCALES, st.data())
def test_the_order_is_total_and_the_best_end_beats_all(scale: str, data: st.DataObject) -> None:
    held = rating_scale(scale)
    one, other = (data.draw(st.sampled_from(held.values)) for _ in range(2))
    found, turned = better_rating(scale, one, second=other), better_rating(scale, other, second=one)
    assert found.better == TURNED[turned.better]
    assert found.steps == turned.steps
    assert (found.better == "neither") is (one == other)
    assert better_rating(scale, held.best, second=one).better != "second"
    assert better_rating(scale, held.worst, second=one).better != "first"


@given(SCALES, st.data())
def test_what_is_reported_lies_between_the_best_and_the_worst(
    scale: str, data: st.DataObject
) -> None:
    ratings = data.draw(
        st.lists(st.sampled_from(rating_scale(scale).values), min_size=1, max_size=5)
    )
    found = reported_rating(scale, ratings)
    assert found.replicates == len(ratings)
    if found.rating is not None:
        assert better_rating(scale, found.best_seen, second=found.rating).better != "second"
        assert better_rating(scale, found.worst_seen, second=found.rating).better != "first"


@pytest.mark.parametrize("scale", rating_scales())
def test_half_steps_hold_only_where_the_scale_and_the_parties_agree(scale: str) -> None:
    allowed = rating_scale(scale).half_steps
    agreed = rating_valid(scale, "3.5", half_steps=True)
    assert agreed.valid is allowed
    assert not rating_valid(scale, "3.5").valid
    assert bool(rating_valid(scale, "3.5").notes)
    assert ("agreed" in rating_valid(scale, "3.5").notes[0]) is allowed


@pytest.mark.parametrize("text", ["5.5", "0.25", "9.5", ".5", "-1", "", "٣", "2.50"])
def test_a_rating_beyond_the_scale_is_not_valid_and_is_not_compared(text: str) -> None:
    assert not rating_valid("ISO4628-SIZE", text, half_steps=True).valid
    with pytest.raises(OutOfRange) as refused:
        better_rating("ISO4628-SIZE", "1", second=text, half_steps=True)
    assert refused.value.field == "second"
    assert "half steps" in refused.value.hint


@pytest.mark.parametrize(
    ("ratings", "rating"),
    [
        (["2"], "2"),
        (["2", "2"], "2"),
        (["1", "2"], None),
        (["2", "1", "2"], "2"),
        (["1", "1", "2", "2"], None),
        (["0", "3", "3"], "3"),
    ],
)
def test_two_of_three_panels_must_agree_by_iso_4628(ratings: list[str], rating: str | None) -> None:
    found = reported_rating("ISO4628-QUANTITY", ratings)
    assert found.rating == rating
    assert any("repeat" in note for note in found.notes) is (rating is None)


def test_what_lies_apart_and_what_is_too_few_is_pointed_at() -> None:
    assert reported_rating("ISO2409", ["0", "0", "3"]).notes == (
        "they lie more than a step apart: report each",
    )
    assert reported_rating("ISO2409", ["1"]).notes == ("1 of 3 replicates",)
    assert not reported_rating("EN12720", ["4", "5"]).notes


def test_without_ratings_there_is_nothing_to_report() -> None:
    with pytest.raises(NotApplicable):
        reported_rating("ISO2409", [])


def test_half_steps_are_ranked_between_their_neighbours() -> None:
    found = better_rating("ISO4628-INTENSITY", "2.5", second="3", half_steps=True)
    assert (found.better, found.steps) == ("first", Decimal("0.5"))


def test_the_scale_that_a_new_workshop_starts_with_runs_the_same_way() -> None:
    text = files("service.exchange").joinpath("starters", "scales.json").read_text("utf-8")
    for starter in json.loads(text):
        held = rating_scale(starter["code"])
        assert held.values == tuple(value["value"] for value in starter["values"])
        assert (held.best, held.worst) == (starter["best"], starter["worst"])


def test_the_names_of_scales_can_be_codes_of_records() -> None:
    assert all(
        name.isascii() and name.upper() == name and len(name) <= 20 for name in rating_scales()
    )


def test_the_table_states_only_rules_that_are_known() -> None:
    text = files("service.science.tables").joinpath("rating_scales.csv").read_text("utf-8")
    rows = list(csv.DictReader(text.splitlines()[1:]))
    assert {row["report"] for row in rows} == {"worst", "two agree"}
    assert {row["half_steps"] for row in rows} == {"yes", "no"}
