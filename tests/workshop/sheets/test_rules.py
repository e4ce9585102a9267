"""Status, ages and addresses, decided without a database."""

from datetime import date

import pytest

from service.workshop.sheets.rules import (
    ADDRESS,
    Status,
    absolute,
    age,
    at_address,
    not_put_on,
    said_of_unknown,
    sound_address,
    state_of,
)


@pytest.mark.parametrize(
    ("quality", "corrected", "state"),
    [
        ("released", False, "current"),
        ("released", True, "correction"),
        ("quarantine", True, "withdrawn"),
        ("rejected", False, "withdrawn"),
        ("recalled", True, "recalled"),
    ],
)
def test_the_gravest_state_is_the_one_that_is_said(
    quality: str, corrected: bool, state: str
) -> None:
    assert state_of(quality, corrected=corrected) == state


def test_a_recall_is_headed_by_its_name() -> None:
    """Regulation (EU) 2023/988, Article 36: headed "Product safety recall"."""
    notice = Status("recalled", date(2026, 1, 2), date(2026, 1, 2)).notice
    assert notice is not None
    assert notice.startswith("Product safety recall")


@pytest.mark.parametrize(
    ("films", "said"),
    [
        ([], "Made 25 November 2026."),
        (
            [(3, 28), (3, 28)],
            "Made 25 November 2026; tested on a panel of the same kettle, 3 coats, 28 days old.",
        ),
        (
            [(1, 1), (3, 90)],
            "Made 25 November 2026; tested on panels of the same kettle, 1 to 3 coats, "
            "1 to 90 days old.",
        ),
        (
            [(None, None)],
            "Made 25 November 2026; tested on a panel of the same kettle.",
        ),
    ],
)
def test_the_age_names_every_film(films: list[tuple[int | None, int | None]], said: str) -> None:
    assert age(date(2026, 11, 25), films) == said


def test_a_day_nobody_wrote_down_is_not_guessed() -> None:
    assert age(None, []) == "The day of making is not recorded."


def test_only_addresses_are_made_whole() -> None:
    found = absolute({"url": "/l/A", "text": "/l/A", "photos": [{"svg": "/x.svg"}], "n": 1})
    whole = {"url": f"{ADDRESS}/l/A", "text": "/l/A", "photos": [{"svg": f"{ADDRESS}/x.svg"}]}
    assert found == {**whole, "n": 1}


@pytest.mark.parametrize("address", ['http://a"b', "http://a b", "ftp://a", "http://a/<x>", ""])
def test_an_address_that_could_break_a_page_is_not_used(address: str) -> None:
    assert sound_address(address) == "http://localhost"


def test_a_stored_form_is_served_under_any_address() -> None:
    stored = f'{{"url": "{ADDRESS}/l/A"}}'.encode()
    assert at_address(stored, "https://a.example/") == b'{"url": "https://a.example/l/A"}'


def test_what_was_not_tried_is_said_either_way() -> None:
    assert not_put_on(False, []) == "Nothing was put on a film of this lot."
    assert not_put_on(True, ["water"]) == "Not tried on this lot: water."


def test_a_buyer_is_told_what_to_do() -> None:
    assert "look at the jar again" in said_of_unknown("SPAR-2671-07A-M")
    assert said_of_unknown("abc").startswith("No lot of the number ABC has been published.")
