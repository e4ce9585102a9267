"""Incoming acceptance: what a material asks to be measured before a received lot is released."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, dump
from tests.makers.stock import CERTIFICATE, delivery, goods, receipt, received

ASKS = ["acid_value", "density"]
BY = {"by": "MB"}
READ = {
    "acid_value": {"value": "3.9 mg KOH/g", "method": "titrated warm"},
    "density": {"value": "0.931 kg/l", "method": "pyknometer", "temperature": "20 °C"},
}


@pytest.fixture
def oil(client: Client) -> str:
    """A lot of oil whose certificate states one of the two figures that are asked for."""
    client.made("/v1/people", {"code": "MB", "name": "M. B."})
    goods(client, "OIL-LIN", accept_with=ASKS)
    acid = {"acid_value": {"value": "4 mg KOH/g", **CERTIFICATE}}
    return received(client, figures=acid)


def measured(client: Client, lot: str, *names: str) -> None:
    client.made(f"/v1/lots/{lot}/readings", {"rows": {name: READ[name] for name in names}})


def codes(client: Client, lot: str) -> list[str]:
    found = client.read(f"/v1/lots/{lot}/readiness")["stands_against"]
    return [one["code"] for one in found]


def test_such_a_lot_waits_in_quarantine_whatever_the_materials_lots_start_as(
    client: Client,
) -> None:
    goods(client, "OIL-LIN", accept_with=ASKS, lots_start_as="released")
    made = receipt(client, {"material": "OIL-LIN", "amount": "5 kg"})
    assert made["lots"][0]["quality"] == "quarantine"
    assert made["assumed"]["quality"] == {"1": "quarantine until measured: acid_value, density"}


def test_a_certificate_is_no_reading(client: Client, oil: str) -> None:
    shown = client.read(f"/v1/lots/{oil}/acceptance")
    assert shown["missing"] == ASKS
    acid = shown["asks"][0]
    assert (acid["certificate"]["value"], acid["measured"]) == ("4", None)
    assert shown["notes"][acid["certificate"]["note"]]["by"] == CERTIFICATE["source"]


def test_each_reading_that_is_missing_stands_against_release(client: Client, oil: str) -> None:
    answer = client.post(f"/v1/lots/{oil}/releases", BY)
    assert answer.json()["type"] == "/problems/not-ready"
    assert [fault["code"] for fault in answer.json()["errors"]] == ["reading-missing"] * 2
    assert codes(client, oil) == ["reading-missing"] * 2
    measured(client, oil, "density")
    assert codes(client, oil) == ["reading-missing"]


def test_what_was_measured_is_released_with_condition_and_retest_day(
    client: Client, oil: str
) -> None:
    measured(client, oil, *ASKS)
    assert client.read(f"/v1/lots/{oil}/acceptance")["missing"] == []
    acid = client.read(f"/v1/lots/{oil}/acceptance")["asks"][0]
    assert (acid["certificate"]["value"], acid["measured"]["value"]) == ("4", "3.9")
    terms = {"condition": "for primers only", "retest_on": "2199-05-01"}
    done = client.made(f"/v1/lots/{oil}/releases", {**BY, **terms})
    assert (done["quality"], done["retest_on"], done["sheet"]) == ("released", "2199-05-01", None)
    lot = client.read(f"/v1/lots/{oil}")
    assert (lot["quality"], lot["condition"], lot["retest_on"]) == (
        "released",
        "for primers only",
        "2199-05-01",
    )
    assert client.read(f"/v1/lots/{oil}/acts")["data"][0]["retest_on"] == "2199-05-01"


def test_a_voided_reading_is_missing_again(client: Client, oil: str) -> None:
    measured(client, oil, *ASKS)
    figures = client.read(f"/v1/figures?subject={oil}&property=density")["data"]
    void = {"void": True, "reason": "another flask"}
    client.made(f"/v1/figures/{figures[0]['figure']}/corrections", void)
    assert client.read(f"/v1/lots/{oil}/acceptance")["missing"] == ["density"]


def test_a_certificate_entered_later_hides_no_reading(client: Client, oil: str) -> None:
    measured(client, oil, *ASKS)
    figure = {"property": "density", "value": "0.93 kg/l", **CERTIFICATE}
    client.made(f"/v1/lots/{oil}/figures", figure)
    assert client.read(f"/v1/lots/{oil}/acceptance")["missing"] == []


def test_a_retest_day_is_still_to_come(client: Client, oil: str, store: Store) -> None:
    measured(client, oil, *ASKS)
    before = dump(store)
    body = {**BY, "retest_on": "2020-01-01"}
    fault = client.post(f"/v1/lots/{oil}/releases", body).json()["errors"][0]
    assert (fault["code"], dump(store) == before) == ("day-past", True)
    mended = {n: v for n, v in {**body, **fault["remedies"][0]["send"]}.items() if v is not None}
    assert client.made(f"/v1/lots/{oil}/releases", mended)["quality"] == "released"


def test_a_lot_that_was_looked_at_again_gets_another_day(client: Client, oil: str) -> None:
    measured(client, oil, *ASKS)
    client.made(f"/v1/lots/{oil}/releases", {**BY, "retest_on": "2198-01-01"})
    assert client.post(f"/v1/lots/{oil}/releases", BY).json()["type"] == "/problems/not-ready"
    client.made(f"/v1/lots/{oil}/releases", {**BY, "retest_on": "2199-01-01"})
    assert client.read(f"/v1/lots/{oil}")["retest_on"] == "2199-01-01"
    days = [act["retest_on"] for act in client.read(f"/v1/lots/{oil}/acts")["data"]]
    assert days == ["2198-01-01", "2199-01-01"]


def test_what_is_not_good_enough_is_rejected_for_good(client: Client, oil: str) -> None:
    done = client.made(f"/v1/lots/{oil}/rejections", {**BY, "reason": "it smells rancid"})
    assert (done["what"], done["quality"]) == ("reject", "rejected")
    assert "not-releasable" in codes(client, oil)


def test_a_material_that_asks_for_nothing_accepts_at_once(client: Client) -> None:
    lots = delivery(client)
    shown = client.read(f"/v1/lots/{lots['ROSIN']}/acceptance")
    assert (shown["quality"], shown["asks"], shown["missing"]) == ("released", [], [])


def test_what_is_made_here_is_asked_for_nothing(client: Client, oil: str) -> None:
    made = client.made(
        f"/v1/lots/{oil}/top-ups",
        {"with": [{"lot": received(client, amount="1 kg"), "amount": "1 kg"}]},
    )
    assert client.read(f"/v1/lots/{made['lot']}/acceptance")["asks"] == []
    assert "reading-missing" not in codes(client, made["lot"])


@pytest.mark.parametrize(
    ("asks", "code", "pointer"),
    [
        (["smell"], "property-unknown", "#/accept_with/0"),
        (["density", "density"], "property-twice", "#/accept_with/1"),
        ("density", "wrong-type", "#/accept_with"),
    ],
)
def test_only_known_properties_are_asked_for_each_once(
    client: Client, asks: Any, code: str, pointer: str
) -> None:
    body = {"code": "OIL-LIN", "kind": "ingredient", "accept_with": asks}
    fault = client.post("/v1/materials", body).json()["errors"][0]
    assert (fault["code"], fault["pointer"]) == (code, pointer)


def test_a_material_asks_for_other_things_from_now_on(client: Client, oil: str) -> None:
    assert client.patch("/v1/materials/OIL-LIN", {"accept_with": ["density"]}).status_code == 200
    assert client.read(f"/v1/lots/{oil}/acceptance")["missing"] == ["density"]
    assert client.patch("/v1/materials/OIL-LIN", {"accept_with": []}).json()["accept_with"] == []
    assert codes(client, oil) == []


def test_a_lot_past_its_retest_day_is_open_again_once_it_was_looked_at(client: Client) -> None:
    client.made("/v1/people", {"code": "MB", "name": "M. B."})
    lot = received(client, "OIL-RAW", "2 kg", retest_on="2026-01-01")

    def open_and_past() -> tuple[str, str]:
        rows = client.read("/v1/stock/materials?q=OIL-RAW")["data"]
        (row,) = [row["balances"][0] for row in rows if row["material"] == "OIL-RAW"]
        return row["open"]["value"], row["expired"]["value"]

    assert open_and_past() == ("0", "2000")
    client.made(f"/v1/lots/{lot}/releases", {"by": "MB", "retest_on": "2199-01-01"})
    assert open_and_past() == ("2000", "0")
