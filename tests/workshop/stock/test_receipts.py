"""Delivery notes through HTTP."""

from typing import Any

import pytest
from stdnum.iso7064 import mod_37_36

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.stock import (
    CERTIFICATE,
    SUPPLIER,
    TABLE,
    currency,
    delivery,
    goods,
    receipt,
    received,
)

LINE = {"material": "OIL-LIN", "amount": "5 kg"}


def note(*lines: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"from": SUPPLIER, **more, "lines": list(lines)}


def refused(client: Client, body: Any, status: int = 422) -> Any:
    answer = client.post("/v1/receipts", body)
    assert answer.status_code == status, answer.text
    return answer.json()


def mended(client: Client, body: Any, problem: Any) -> Any:
    """The answer once the first remedy is applied; the patches here are flat."""
    send = problem["errors"][0]["remedies"][0]["send"]
    return client.made("/v1/receipts", {**body, **send})


def test_a_delivery_note_becomes_one_lot_a_line(client: Client) -> None:
    lots = delivery(client, on="2026-11-20")
    listed = client.read("/v1/receipts")["data"][0]
    assert client.read(f"/v1/receipts/{listed['receipt'].lower()}") == listed
    assert listed["on"] == "2026-11-20"
    assert listed["from"] == SUPPLIER
    assert [row["lot"] for row in listed["lots"]] == list(lots.values())
    assert listed["lots"][0]["price"] == {"value": "18.50", "unit": "EUR"}


def test_numbers_name_the_month_and_check_by_python_stdnum(client: Client) -> None:
    for number in delivery(client, on="2026-11-20").values():
        assert "-2611-01-" in number
        assert mod_37_36.is_valid(number.replace("-", ""))


def test_a_volume_is_weighed_once_and_stays_on_the_movement(client: Client) -> None:
    lots = delivery(client)
    spirit = client.read(f"/v1/lots/{lots['WSPIRIT']}")
    # 10 l at 0.778 kg/l, from the invented table
    assert spirit["left"] == {"value": "7780", "unit": "g"}
    move = client.read(f"/v1/movements?lot={lots['WSPIRIT']}")["data"][0]
    assert move["entered"] == {"value": "10", "unit": "l"}
    assert move["density"] == {"value": "0.778", "unit": "kg/l"}


def test_the_certificate_comes_before_the_material(client: Client) -> None:
    goods(client, "WSPIRIT", figures={"density": {"value": "0.778 kg/l", **TABLE}})
    figures = {"density": {"value": "800 kg/m3", "temperature": "15 C", **CERTIFICATE}}
    made = receipt(client, {"material": "WSPIRIT", "amount": "1 l", "figures": figures})
    assert made["lots"][0]["came"] == {"value": "800", "unit": "g"}
    number = made["lots"][0]["lot"]
    assert made["assumed"]["density"] == {"1": f"800 kg/m3 at 15 °C, declared, {number}"}
    assert client.read(f"/v1/lots/{number}/figures")["figures"][0]["of"] == "lot"


def test_without_a_density_a_volume_is_refused_by_line(client: Client) -> None:
    goods(client, "OIL-LIN")
    body = note(LINE, {**LINE, "amount": "2 l"})
    problem = refused(client, body)
    assert problem["type"] == "/problems/density-needed"
    assert problem["errors"][0]["pointer"] == "#/lines/1/amount"
    assert "density" in problem["errors"][0]["hint"]
    body["lines"][1]["density"] = {"value": "0.93 kg/l", **CERTIFICATE}
    assert client.made("/v1/receipts", body)["lots"][1]["came"]["value"] == "1860"


def test_a_density_needs_its_basis_and_is_sent_once(client: Client) -> None:
    goods(client, "OIL-LIN")
    bare = {**LINE, "density": {"value": "0.93 kg/l"}}
    assert refused(client, note(bare))["errors"][0]["code"] == "missing"
    figure = {"value": "0.93 kg/l", **CERTIFICATE}
    twice = {**LINE, "density": figure, "figures": {"density": figure}}
    assert refused(client, note(twice))["errors"][0]["code"] == "one-of-two"


@pytest.mark.parametrize(
    ("material", "amount", "code"),
    [
        ("OIL-LIN", 5, "unit-missing"),
        ("OIL-LIN", "5", "unit-missing"),
        ("OIL-LIN", "0 kg", "out-of-range"),
        ("OIL-LIN", "-5 kg", "out-of-range"),
        ("OIL-LIN", "0.0001 mg", "out-of-range"),
        ("OIL-LIN", "5 °C", "wrong-dimension"),
        ("OIL-LIN", "5 gal", "unit-ambiguous"),
        ("OIL-LIN", True, "wrong-type"),
        ("JAR-250", "5 kg", "wrong-dimension"),
        ("JAR-250", 1.5, "not-whole"),
    ],
)
def test_an_amount_that_cannot_be_is_refused(
    client: Client, material: str, amount: Any, code: str
) -> None:
    goods(client, "OIL-LIN")
    goods(client, "JAR-250", "container")
    problem = refused(client, note({"material": material, "amount": amount}))
    assert problem["errors"][0]["code"] == code
    assert problem["errors"][0]["pointer"] == "#/lines/0/amount"


@pytest.mark.parametrize("amount", [100, "100", "100 pcs", {"value": 100, "unit": "pcs"}])
def test_jars_are_counted(client: Client, amount: Any) -> None:
    goods(client, "JAR-250", "container")
    made = receipt(client, {"material": "JAR-250", "amount": amount})
    assert made["lots"][0]["came"] == 100


def test_a_price_needs_a_currency(client: Client) -> None:
    goods(client, "OIL-LIN")
    body = note({**LINE, "price": "31.00"})
    problem = refused(client, body)
    assert problem["errors"][0]["code"] == "currency-missing"
    assert "PATCH /v1/workshop" in problem["errors"][0]["hint"]
    assert mended(client, body, problem)["lots"][0]["price"] is None
    currency(client)
    assert client.made("/v1/receipts", body)["lots"][0]["price"]["unit"] == "EUR"


def test_a_mistyped_own_number_is_told_the_right_one(client: Client) -> None:
    goods(client, "OIL-LIN")
    right = "LIN-2609-04-" + mod_37_36.calc_check_digit("LIN260904")
    wrong = right[:-1] + ("A" if right[-1] != "A" else "B")
    body = note({**LINE, "lot": wrong})
    problem = refused(client, body)
    assert problem["errors"][0]["code"] == "lot-mistyped"
    assert right in problem["errors"][0]["hint"]
    assert mended(client, body, problem)["lots"][0]["lot"] == right


def test_a_number_is_never_used_twice_not_even_without_hyphens(client: Client) -> None:
    received(client, lot="KETTLE-OIL")
    body = note({**LINE, "lot": "kettleoil"})
    problem = refused(client, body, 409)
    assert problem["type"] == "/problems/lot-taken"
    assert mended(client, body, problem)["lots"][0]["lot"] != "KETTLE-OIL"


def test_a_number_given_by_hand_is_passed_over(client: Client) -> None:
    goods(client, "OIL-LIN")
    second = "OILLIN-2611-02-" + mod_37_36.calc_check_digit("OILLIN261102")
    made = receipt(client, {**LINE, "lot": second}, LINE, LINE, on="2026-11-20")
    numbers = [row["lot"][:14] for row in made["lots"]]
    assert numbers == ["OILLIN-2611-02", "OILLIN-2611-01", "OILLIN-2611-03"]


def test_the_hundredth_number_of_a_month_is_refused(client: Client) -> None:
    goods(client, "OIL-LIN")
    problem = refused(client, note(*[LINE] * 100), 409)
    assert problem["type"] == "/problems/lot-numbers-used-up"
    assert len(receipt(client, *[LINE] * 99)["lots"]) == 99


def test_a_delivery_of_tomorrow_is_refused(client: Client) -> None:
    goods(client, "OIL-LIN")
    body = note(LINE, on="2199-01-01")
    problem = refused(client, body)
    assert problem["errors"][0]["code"] == "day-to-come"
    assert mended(client, body, problem)["on"] < "2199"


def test_an_unknown_material_is_named_by_its_line(client: Client) -> None:
    problem = refused(client, note(LINE))
    assert problem["errors"][0]["pointer"] == "#/lines/0/material"


def test_a_dry_run_draws_no_number_and_writes_nothing(client: Client) -> None:
    goods(client, "OIL-LIN")
    answer = client.post("/v1/receipts?dry_run=true", note(LINE))
    assert answer.status_code == 200, answer.text
    tried = answer.json()
    assert tried["receipt"] is None
    assert tried["lots"][0]["lot"] is None
    assert tried["assumed"]["lots"] == {"1": None}
    assert client.read("/v1/lots")["data"] == []
    assert receipt(client, LINE)["lots"][0]["lot"][11:14] == "-01"


def test_prices_and_suppliers_are_not_for_readers(client: Client, store: Store) -> None:
    lots = delivery(client)
    reader = Client(client.app, key_for(store, ["read"]))
    assert reader.get("/v1/receipts").status_code == 403
    seen = reader.read(f"/v1/lots/{lots['ROSIN']}")
    assert (seen["price"], seen["supplier"]) == (None, None)
    rows = reader.read("/v1/stock")["data"]
    assert {row["value"] for row in rows} == {None}


def test_a_density_without_its_source_is_pointed_at(client: Client) -> None:
    goods(client, "WSPIRIT")
    density = {"value": "0.78 kg/l", "basis": "declared"}
    line = {"material": "WSPIRIT", "amount": "1 l", "density": density}
    fault = refused(client, note(line))["errors"][0]
    assert (fault["code"], fault["pointer"]) == ("evidence-missing", "#/lines/0/density/source")


def test_what_is_measured_after_a_late_entry_comes_before_the_certificate(client: Client) -> None:
    goods(client, "OIL-LIN")
    figures = {"acid_value": {"value": "3.6 mg KOH/g", **CERTIFICATE}}
    line = {"material": "OIL-LIN", "amount": "5 kg", "figures": figures}
    lot = receipt(client, line, on="2026-08-21")["lots"][0]["lot"]
    read = {"rows": {"acid_value": "3.9 mg KOH/g"}, "methods": {"acid_value": "titrated warm"}}
    client.made(f"/v1/lots/{lot}/readings", {**read, "on": "2026-08-25"})
    (known,) = client.read(f"/v1/lots/{lot}/figures")["figures"]
    assert (known["value"], known["basis"]) == ("3.9", "measured")


def test_what_came_before_the_numbers_can_say_so_is_numbered_by_today(client: Client) -> None:
    """The two digits of a year in a number are those of this century."""
    goods(client, "OIL-LIN")
    made = receipt(client, LINE, on="1998-05-02")
    today = receipt(client, LINE)
    old, new = made["lots"][0]["lot"], today["lots"][0]["lot"]
    assert (made["on"], old.rsplit("-", 2)[0]) == ("1998-05-02", new.rsplit("-", 2)[0])


@pytest.mark.parametrize(
    ("days", "field"),
    [
        ({"made_on": "2026-10-02"}, "made_on"),
        ({"made_on": "2026-09-02", "expires_on": "2026-09-01"}, "expires_on"),
        ({"made_on": "2026-09-02", "retest_on": "2026-09-01"}, "retest_on"),
    ],
)
def test_days_that_cannot_be_right_beside_each_other_are_refused(
    client: Client, days: dict[str, str], field: str
) -> None:
    goods(client, "OIL-LIN")
    (fault,) = refused(client, note({**LINE, **days}, on="2026-10-01"))["errors"]
    assert (fault["pointer"], fault["code"]) == (f"#/lines/0/{field}", "days-out-of-order")
    made = receipt(client, LINE, on="2026-10-01")
    row = {"lot": made["lots"][0]["lot"], **days}
    path = f"/v1/receipts/{made['receipt']}/corrections"
    answer = client.post(path, {"replaces": {"lines": [row]}, "reason": "a slip"})
    assert answer.json()["errors"][0]["pointer"] == f"#/replaces/lines/0/{field}"
    assert client.read(f"/v1/lots/{row['lot']}")["made_on"] is None


def test_goods_past_their_day_are_taken_in_and_that_is_said(client: Client) -> None:
    goods(client, "OIL-LIN")
    days = {"expires_on": "2026-09-01", "retest_on": "2026-08-01"}
    made = receipt(client, {**LINE, **days}, LINE, on="2026-10-01")
    assert [flag["code"] for flag in made["flags"]] == ["lot-expired", "lot-retest-due"]
    assert made["lots"][0]["lot"] in made["flags"][0]["text"]
