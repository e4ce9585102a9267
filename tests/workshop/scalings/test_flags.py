"""What to look at before the work, and what the balance cannot weigh."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import compositions, recipes, stock
from tests.makers.scalings import flagged, known, made_by, refused, scaling, target

ROSIN_KG = {"material": "ROSIN", "amount": "1 kg"}
ROSIN = {"material": "ROSIN", "parts": 100}
NEUTRALISE = {"material": "ZNO", "derive": {"rule": "neutralise", "share": "80 %"}}
OIL = {"material": "OIL-LIN", "parts": 1}


@pytest.fixture
def shelf(client: Client) -> Client:
    recipes.shelf(client)
    client.made("/v1/equipment", {"code": "BAL-6KG", "kind": "balance", "reads_to": "1 g"})
    return client


def test_a_line_below_what_the_balance_weighs_to_a_percent_is_flagged(shelf: Client) -> None:
    made_by(shelf, "MIX-X", OIL, {"material": "ROSIN", "parts": 0.05})
    answer = scaling(shelf, "1 kg", code="MIX-X")
    (flag,) = answer["flags"]
    assert (flag["code"], flag["line"]) == ("below-minimum-mass", 2)
    # 2 x 0.41 steps of 1 g over 1 %: 82 g (USP <41>).
    assert "48 g of ROSIN is less than the 82 g that this balance can weigh to 1 %" in flag["text"]


def test_a_wider_tolerance_of_the_line_needs_no_flag(shelf: Client) -> None:
    made_by(shelf, "MIX-X", OIL, {"material": "ROSIN", "parts": 0.05, "tolerance": "2 %"})
    answer = scaling(shelf, "1 kg", code="MIX-X")
    assert flagged(answer) == []
    assert answer["lines"][1]["tolerance"] == {"value": "1", "unit": "g"}


def test_a_line_of_nothing_is_refused_with_every_balance_that_reads_it(shelf: Client) -> None:
    for code, step in (("BAL-FINE", "0.01 g"), ("BAL-OLD", "5 g"), ("BAL-2KG", "0.1 g")):
        shelf.made("/v1/equipment", {"code": code, "kind": "balance", "reads_to": step})
    made_by(shelf, "MIX-X", OIL, {"material": "ROSIN", "parts": 0.0003})
    body = {"for": "1 kg", "balance": "BAL-6KG"}
    found = refused(shelf, body, code="MIX-X")
    assert found["type"] == "/problems/too-small-to-weigh"
    ways = [remedy["send"] for remedy in found["errors"][0]["remedies"]]
    assert ways == [{"balance": "BAL-2KG"}, {"balance": "BAL-FINE"}]
    for way in ways:
        shelf.made("/v1/recipes/MIX-X/scalings", {**body, **way})


def test_what_reacts_without_a_known_assay_is_flagged_as_not_reckoned(client: Client) -> None:
    recipes.spar(client)
    assert client.patch("/v1/materials/ZNO", {"formula": "ZnO"}).status_code == 200
    answer = scaling(client, "1 kg", code="RESIN-ZN")
    told = {flag["text"] for flag in answer["flags"] if flag["code"] == "reaction-unknown"}
    assert told == {
        "What reacts is not reckoned without the assay of ZNO.",
        "What reacts is not reckoned without the acid value of ROSIN.",
    }


def test_sixty_lines_are_worked_out_and_come_to_what_was_asked(shelf: Client) -> None:
    lines = [{"material": "OIL-LIN", "parts": n, "stage": "mix"} for n in range(1, 61)]
    made_by(shelf, "MIX-X", *lines)
    answer = scaling(shelf, "183 kg", code="MIX-X")
    assert [target(answer, n) for n in (1, 30, 60)] == ["100", "3000", "6000"]


@pytest.fixture
def bench(client: Client) -> Client:
    """A shelf with its chemistry, and a balance that reads to 0.1 g."""
    compositions.reacting(client)
    client.made("/v1/equipment", {"code": "BAL-2KG", "kind": "balance", "reads_to": "0.1 g"})
    return client


def flags_of(answer: Any, code: str) -> list[Any]:
    return [flag for flag in answer["flags"] if flag["code"] == code]


def two_lots(client: Client, first: str, second: str) -> list[str]:
    """Rosin in two lots, with their acid values, of which a kilogram takes both."""
    lots = [stock.received(client, "ROSIN", "600 g") for _ in range(2)]
    for lot, value in zip(lots, (first, second), strict=True):
        known(client, f"lots/{lot}", acid_value=f"{value} mg KOH/g")
    return lots


def test_lots_of_one_line_that_differ_are_flagged_with_what_the_sums_go_by(bench: Client) -> None:
    made_by(bench, "SALT-ZN", ROSIN, NEUTRALISE, kind="intermediate")
    one, two = two_lots(bench, "170", "160")
    (flag,) = flags_of(scaling(bench, ROSIN_KG, code="SALT-ZN"), "several-lots")
    assert flag["line"] == 1
    assert f"170 mg KOH/g in {one}, 160 mg KOH/g in {two}" in flag["text"]
    assert flag["text"].endswith(f"The sums go by {one}, the first.")


def test_lots_of_one_line_that_are_alike_need_no_flag(bench: Client) -> None:
    made_by(bench, "SALT-ZN", ROSIN, NEUTRALISE, kind="intermediate")
    two_lots(bench, "165", "165.0")
    assert not flags_of(scaling(bench, ROSIN_KG, code="SALT-ZN"), "several-lots")


def test_a_line_that_is_left_only_another_lot_than_the_sums_go_by_is_flagged(
    bench: Client,
) -> None:
    made_by(bench, "SALT-ZN", ROSIN, {"material": "ROSIN", "parts": 50}, NEUTRALISE)
    one, two = two_lots(bench, "170", "160")
    answer = scaling(bench, {"material": "ROSIN", "amount": "900 g"}, code="SALT-ZN")
    assert [take["lot"] for take in answer["lines"][1]["from"]] == [two]
    (flag,) = flags_of(answer, "several-lots")
    assert (flag["line"], one in flag["text"]) == (2, True)


def test_every_lot_that_is_taken_is_looked_at_for_the_proved_band(bench: Client) -> None:
    band = {"from": "155 mg KOH/g", "to": "169 mg KOH/g"}
    band |= {"material": "ROSIN", "property": "acid_value"}
    made_by(bench, "SALT-ZN", ROSIN, NEUTRALISE, kind="intermediate", proved=[band])
    _, second = two_lots(bench, "165", "180")
    (flag,) = flags_of(scaling(bench, ROSIN_KG, code="SALT-ZN"), "outside-proved-band")
    assert f"180 mg KOH/g of {second} is outside" in flag["text"]
    assert "by this lot" not in flag["text"]  # what is derived goes by the other
