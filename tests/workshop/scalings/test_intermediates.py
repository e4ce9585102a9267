"""What must be made first, level by level, and what is then bought."""

from typing import Any

import pytest

from service.store.session import Store
from service.workshop.materials.actions import record_figures
from service.workshop.materials.bodies import FigureValue
from service.workshop.recipes import queries
from tests.client import Client, system
from tests.makers import recipes, scalings, stock
from tests.makers.scalings import made_by, refused, scaling


def mixed(*codes: str) -> list[dict[str, Any]]:
    """Equal parts of materials, mixed cold."""
    return [{"material": code, "parts": 1, "stage": "mix"} for code in codes]


@pytest.fixture
def nested(client: Client) -> Client:
    """A varnish of two intermediates, one of which holds the other."""
    recipes.shelf(client)
    made_by(client, "BASE-A", *mixed("OIL-LIN", "ROSIN"), kind="intermediate")
    made_by(client, "BASE-B", *mixed("BASE-A", "OIL-TUNG"), kind="intermediate")
    made_by(client, "TOP", *mixed("BASE-B", "BASE-A"))
    return client


def made(answer: Any) -> list[tuple[Any, ...]]:
    return [
        (row["level"], row["material"], row["for"], row["amount"]["value"])
        for row in answer["to_make"]
    ]


def bought(answer: Any) -> dict[str, tuple[str, str | None]]:
    return {row["material"]: (row["amount"]["value"], row["made_by"]) for row in answer["shopping"]}


def test_an_intermediate_that_is_short_is_taken_apart_into_its_lines(client: Client) -> None:
    scalings.stocked(client)
    answer = scaling(client, "11 l")
    # 65 g short of the resinate, 100 parts of rosin to 5: 61.9 g and 3.1 g, both there. By hand.
    assert answer["to_make"] == [
        {
            "material": "RESIN-ZN",
            "recipe": "RESIN-ZN",
            "version": 1,
            "amount": {"value": "65", "unit": "g"},
            "for": "SPAR",
            "level": 1,
            "lines": [
                {"material": "ROSIN", "amount": {"value": "62", "unit": "g"}},
                {"material": "ZNO", "amount": {"value": "3", "unit": "g"}},
            ],
            "loss": "as its recipe declares it, and what reactions take",
        }
    ]
    assert "ROSIN" not in bought(answer)


def test_what_an_intermediate_needs_is_taken_apart_in_its_turn(nested: Client) -> None:
    answer = scaling(nested, "4 kg", code="TOP")
    assert made(answer) == [
        (1, "BASE-B", "TOP", "2000"),
        (1, "BASE-A", "TOP", "2000"),
        (2, "BASE-A", "BASE-B", "1000"),
    ]
    assert bought(answer) == {
        "BASE-B": ("2000", "BASE-B"),
        "BASE-A": ("2000", "BASE-A"),
        "OIL-TUNG": ("1000", None),
        "OIL-LIN": ("1500", None),
        "ROSIN": ("1500", None),
    }


def test_three_levels_deep_each_says_what_it_is_for(nested: Client) -> None:
    made_by(nested, "OUTER", *mixed("TOP"))
    assert made(scaling(nested, "4 kg", code="OUTER"))[-1] == (3, "BASE-A", "BASE-B", "1000")


def test_stock_that_two_need_is_used_once(nested: Client) -> None:
    stock.received(nested, "BASE-A", "2.5 kg")
    answer = scaling(nested, "4 kg", code="TOP")
    # The line takes 2000 g, the other intermediate finds 500 of its 1000 g.
    assert made(answer) == [(1, "BASE-B", "TOP", "2000"), (2, "BASE-A", "BASE-B", "500")]
    assert bought(answer)["OIL-LIN"] == ("250", None)


def test_two_lines_of_one_material_share_its_lot(client: Client) -> None:
    recipes.shelf(client)
    lines = [*mixed("OIL-LIN", "ROSIN"), {"material": "OIL-LIN", "parts": 2, "stage": "thin"}]
    made_by(client, "TWICE", *lines)
    lot = stock.received(client, "OIL-LIN", "2 kg")
    answer = scaling(client, "4 kg", code="TWICE")
    assert [row["from"] for row in answer["lines"]] == [
        [{"lot": lot, "take": {"value": "1000", "unit": "g"}}],
        [],
        [{"lot": lot, "take": {"value": "1000", "unit": "g"}}],
    ]
    assert bought(answer) == {"OIL-LIN": ("1000", None), "ROSIN": ("1000", None)}


def test_an_intermediate_whose_versions_are_all_retired_is_refused(nested: Client) -> None:
    recipes.retired(nested, "BASE-A")
    found = refused(nested, {"for": "1 kg"}, code="TOP", status=409)
    assert found["type"] == "/problems/intermediate-retired"


def test_an_intermediate_whose_lines_lack_a_value_still_says_what_makes_it(client: Client) -> None:
    recipes.shelf(client)
    reagent = {"material": "ZNO", "derive": {"rule": "neutralise", "share": "80 %"}}
    made_by(client, "BASE-A", {"material": "ROSIN", "parts": 1}, reagent, kind="intermediate")
    made_by(client, "TOP", *mixed("BASE-A", "OIL-LIN"))
    answer = scaling(client, "1 kg", code="TOP")
    assert answer["to_make"] == []
    assert bought(answer)["BASE-A"] == ("500", "BASE-A")


def test_more_than_twelve_levels_are_refused_with_the_way(client: Client, store: Store) -> None:
    recipes.shelf(client)
    below = "OIL-LIN"
    for number in (*range(13, 0, -1), 0):
        # The thirteenth is put below the twelfth afterwards: no recipe may be written so.
        code = f"STEP-{number}"
        made_by(client, code, *mixed(below), kind="intermediate")
        below = "OIL-LIN" if number == 13 else code
    assert len(scaling(client, "1 kg", code="STEP-0")["to_make"]) == 12
    with store.writing(system()) as session:
        (line,) = queries.lines(session, queries.version(session, "STEP-12", 1))
        line.material = "STEP-13"
        session.add(line)
    found = refused(client, {"for": "1 kg"}, code="STEP-0")
    assert found["type"] == "/problems/too-deep"
    assert found["detail"].startswith("More than 12 levels: STEP-0 needs STEP-1 needs STEP-2")


def test_what_its_last_batches_lost_is_reckoned_for_an_intermediate(
    nested: Client, store: Store
) -> None:
    value = FigureValue(value="20 %", basis="measured", method="weighed")
    with store.writing(system()) as session:
        record_figures(session, ("version", "BASE-B/1"), {"loss": value}, by=None)
    first = scaling(nested, "4 kg", code="TOP")["to_make"][0]
    # 2000 g come of 2500 g, half of it each. By hand.
    assert [line["amount"]["value"] for line in first["lines"]] == ["1250", "1250"]
    assert first["loss"].startswith("20.0 % of all that is weighed in, measured on the last batch")
