"""Gross, tare and net, and one weighing split over lots."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.science.units import Quantity, canonical
from service.workshop.batches.rules.netting import Disagree, Read, less, net_of, vessel
from tests.client import Client
from tests.makers.batches import evening, left, ready
from tests.makers.panels import merged as patched
from tests.makers.stock import receipt

GRAMS = st.decimals("0.1", "5000", places=1)


def grams(value: Decimal) -> Quantity:
    return Quantity(value, "g", "mass")


def kilograms(value: Decimal) -> Quantity:
    return Quantity(value, "kg", "mass")


@settings(deadline=None)
@given(GRAMS, GRAMS)
def test_any_two_of_the_three_readings_give_the_same_net(net: Decimal, tare: Decimal) -> None:
    gross = grams(net + tare)
    for read in (
        Read(None, gross, grams(tare)),
        Read(grams(net), gross, None),
        Read(grams(net), None, grams(tare)),
        Read(grams(net), gross, grams(tare)),
    ):
        assert canonical(net_of(read, 0)) == canonical(grams(net))
        whole = vessel(grams(net), read.gross, read.tare)
        assert (whole.gross, whole.tare) == (gross, grams(tare))


@settings(deadline=None)
@given(GRAMS, GRAMS, st.sampled_from([0, 1, 100, 1000]))
def test_three_readings_may_differ_by_a_division_and_no_more(
    net: Decimal, tare: Decimal, division: int
) -> None:
    gross = grams(net + tare)
    off = Decimal(division) / 1000
    assert net_of(Read(grams(net + off), gross, grams(tare)), division) == grams(net + off)
    with pytest.raises(Disagree):
        net_of(Read(grams(net + off + Decimal("0.001")), gross, grams(tare)), division)


@settings(deadline=None)
@given(GRAMS, GRAMS)
def test_masses_in_different_units_are_taken_to_the_milligram(one: Decimal, two: Decimal) -> None:
    whole = kilograms((one + two) / 1000)
    assert canonical(less(whole, grams(one))) == canonical(grams(two))


def weigh(client: Client, code: str, **body: Any) -> Any:
    return client.post(f"/v1/batches/{code}/weighings", body)


@pytest.mark.parametrize(
    ("sent", "gross", "tare"),
    [
        ({"gross": "1530.0", "tare": "151.0"}, ("1530.0", "measured"), ("151.0", "measured")),
        ({"gross": "1530", "net": "1379"}, ("1530", "measured"), ("151", "calculated")),
        ({"tare": "151", "net": "1379"}, ("1530", "calculated"), ("151", "measured")),
        (
            {"gross": "1530", "tare": "151", "net": "1378"},  # the balance reads to 1 g
            ("1530", "measured"),
            ("151", "measured"),
        ),
    ],
)
def test_a_vessel_is_taken_off_and_shown(
    client: Client, sent: dict[str, str], gross: tuple[str, str], tare: tuple[str, str]
) -> None:
    code, lots = ready(client)
    made = weigh(client, code, line=2, **sent).json()
    assert made["verdict"] == "within"
    assert (made["gross"]["value"], made["gross"]["basis"]) == gross
    assert (made["tare"]["value"], made["tare"]["basis"]) == tare
    assert left(client, lots["OIL-LIN"])["value"] in {"3621", "3622"}


def test_three_readings_that_disagree_are_refused_and_each_way_out_goes(client: Client) -> None:
    code, lots = ready(client)
    body = {"line": 2, "gross": "1530", "tare": "151", "net": "1397"}
    answer = weigh(client, code, **body)
    (fault,) = answer.json()["errors"]
    assert (answer.status_code, fault["code"], fault["pointer"]) == (
        422,
        "readings-disagree",
        "#/net",
    )
    assert left(client, lots["OIL-LIN"])["value"] == "5000"
    nets = []
    for remedy in fault["remedies"]:
        way = patched(body, remedy["send"])
        nets.append(client.post(f"/v1/batches/{code}/weighings", way).json()["weighed"]["value"])
    assert nets == ["1379", "1397", "1397"]


def test_a_tare_heavier_than_the_gross_was_swapped(client: Client) -> None:
    code, _ = ready(client)
    body = {"line": 2, "gross": "151", "tare": "1530"}
    fault = weigh(client, code, **body).json()["errors"][0]
    assert fault["code"] == "tare-too-heavy"
    made = weigh(client, code, **patched(body, fault["remedies"][0]["send"]))
    assert made.json()["weighed"]["value"] == "1379"


@pytest.mark.parametrize(
    ("body", "code", "pointer"),
    [
        ({"gross": "1530"}, "two-of-three", "#"),
        ({"amount": "1379", "tare": "151"}, "one-of-two", "#/amount"),
        ({}, "two-of-three", "#"),
        ({"from": [{"lot": "A", "gross": "5"}]}, "two-of-three", "#/from/0"),
        ({"from": [{"lot": "A"}, {"lot": "B"}], "amount": "5"}, "part-unsaid", "#/from/1"),
        ({"from": [{"lot": "A", "amount": "5"}], "lot": "B"}, "split-twice", "#/lot"),
    ],
)
def test_what_cannot_be_told_is_asked_for(
    client: Client, body: dict[str, Any], code: str, pointer: str
) -> None:
    batch, _ = ready(client)
    (fault,) = weigh(client, batch, line=2, **body).json()["errors"]
    assert (fault["code"], fault["pointer"]) == (code, pointer)


def test_a_page_takes_a_vessel_off_too(client: Client) -> None:
    code, lots = ready(client)
    lines = {"2": {"gross": "1530", "tare": "151", "net": "1380.5"}}
    page = evening(lots, lines=lines, cook=[], finished=False)
    answer = client.post(f"/v1/batches/{code}/pages", page)
    (fault,) = answer.json()["errors"]
    assert fault["pointer"] == "#/lines/2/net"
    made = client.made(f"/v1/batches/{code}/pages", patched(page, fault["remedies"][0]["send"]))
    assert made["lines"][0]["weighed"]["value"] == "1379"


def test_a_misread_gross_is_corrected_and_the_tare_stays(client: Client) -> None:
    code, lots = ready(client)
    weigh(client, code, line=2, gross="1535", tare="151")
    change = {"replaces": {"gross": "1530", "checked_by": "MB"}, "reason": "misread"}
    made = client.made(f"/v1/batches/{code}/lines/2/corrections", change)
    assert (made["was"], made["now"][:6]) == (f"1384 g of {lots['OIL-LIN']}", "1379 g")
    assert left(client, lots["OIL-LIN"])["value"] == "3621"
    newest = client.read(f"/v1/batches/{code}/weighings?sort=-id")["data"][0]
    assert (newest["tare"]["value"], newest["checked_by"]) == ("151", "MB")


def second(client: Client) -> str:
    goods = {"material": "OIL-LIN", "amount": "2 kg", "price": "12.00"}
    lot: str = receipt(client, goods)["lots"][0]["lot"]
    return lot


def test_one_weighing_is_split_over_lots_with_one_verdict(client: Client) -> None:
    code, lots = ready(client)
    other = second(client)
    parts = [{"lot": lots["OIL-LIN"], "amount": "900"}, {"lot": other}]
    made = weigh(
        client, code, material="OIL-LIN", amount="1379", checked_by="MB", **{"from": parts}
    )
    assert made.status_code == 201, made.text
    told = made.json()
    assert [row["weighed"]["value"] for row in told["split"]] == ["900", "479"]
    assert [row["verdict"] for row in told["split"]] == ["none", "within"]
    assert {row["checked_by"] for row in told["split"]} == {"MB"}
    assert told["summary"] == "1379 g from 2 lots of OIL-LIN, within."
    assert left(client, other)["value"] == "1521"


def test_parts_that_do_not_make_the_whole_are_refused(client: Client) -> None:
    code, lots = ready(client)
    parts = [
        {"lot": lots["OIL-LIN"], "amount": "900"},
        {"lot": second(client), "amount": "500"},
    ]
    body = {"line": 2, "amount": "1379", "from": parts}
    (fault,) = weigh(client, code, **body).json()["errors"]
    assert (fault["code"], fault["pointer"]) == ("parts-disagree", "#/from")
    made = weigh(client, code, **patched(body, fault["remedies"][0]["send"]))
    assert made.json()["verdict"] == "over"
    rest = {"line": 2, "amount": "5", "from": [parts[0], {"lot": parts[1]["lot"]}]}
    assert weigh(client, code, **rest).json()["errors"][0]["code"] == "parts-disagree"


def test_a_wrong_lot_in_a_part_says_which_part(client: Client) -> None:
    code, lots = ready(client)
    parts = [{"lot": lots["OIL-LIN"], "amount": "900"}, {"lot": lots["OIL-TUNG"], "amount": "479"}]
    body = {"line": 2, "from": parts}
    answer = weigh(client, code, **body).json()
    assert answer["type"] == "/problems/wrong-material"
    fault = answer["errors"][0]
    assert fault["pointer"] == "#/from/1/lot"
    assert left(client, lots["OIL-LIN"])["value"] == "5000"
    for remedy in fault["remedies"]:
        assert weigh(client, code, **patched(body, remedy["send"])).status_code == 201
