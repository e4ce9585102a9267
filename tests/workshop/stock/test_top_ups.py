"""Top-ups: a lot poured onto what was left of another is a lot of its own."""

from fractions import Fraction
from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, dump, key_for
from tests.makers.stock import currency, goods, receipt, received
from tests.makers.top_ups import NEW, OLD, declared, left, oils, refused, topped


def test_a_drum_on_its_heel_is_a_lot_with_two_origins_and_exact_shares(client: Client) -> None:
    oils(client)
    made = topped(client)
    parts = made["parts"]
    assert [part["lot"] for part in parts] == [OLD, NEW]
    assert [part["share"] for part in parts] == ["2/7", "5/7"]
    assert [part["percent"]["value"] for part in parts] == ["28.5714", "71.4286"]
    assert made["amount"] == {"value": "4200", "unit": "g"}
    assert made["assumed"]["heel"] == "all that was left: 1200 g"
    assert (left(client, OLD), left(client, NEW), left(client, made["lot"])) == ("0", "0", "4200")
    origins = client.read(f"/v1/lots/{made['lot']}/origins")["lots"]
    assert {row["lot"]: row["amount"]["value"] for row in origins} == {OLD: "1200", NEW: "3000"}
    shown = client.read(f"/v1/lots/{made['lot']}")
    assert (shown["kind"], shown["quality"], shown["came"]["value"]) == ("made", "released", "4200")


def test_it_is_found_from_each_lot_that_it_concerns(client: Client) -> None:
    oils(client)
    made = topped(client)
    for lot in (OLD, NEW, made["lot"]):
        listed = client.read(f"/v1/lots/{lot}/top-ups")["data"]
        assert [row["entry"] for row in listed] == [made["entry"]]
    assert (
        client.read(f"/v1/movements?lot={OLD}&cause=top-up")["data"][0]["cause_ref"] == made["lot"]
    )


def test_part_of_the_heel_may_stay_behind(client: Client) -> None:
    oils(client)
    made = topped(client, heel="200 g", lot="DRUM-A", happened_at="2026-10-01T12:00:00Z")
    assert made["lot"] == "DRUM-A"
    assert made["made_on"] == "2026-10-01"
    assert (left(client, OLD), left(client, "DRUM-A")) == ("1000", "3200")


def test_one_in_quarantine_puts_all_of_it_in_quarantine(client: Client) -> None:
    goods(client, "OIL-LIN", accept_with=["density"])
    oils(client)
    made = topped(client)
    assert made["quality"] == "quarantine"
    assert [flag["code"] for flag in made["flags"]] == ["lot-not-released", "lot-not-released"]
    against = client.read(f"/v1/lots/{made['lot']}/readiness")["stands_against"]
    assert {one["code"] for one in against} == {"deviation-open"}


def test_what_is_sold_starts_in_quarantine_though_its_parts_are_released(
    client: Client, store: Store
) -> None:
    oils(client)
    goods(client, "SPAR", "finished")
    made = topped(client, material="SPAR")
    assert (made["material"], made["quality"], made["flags"]) == ("SPAR", "quarantine", [])
    done = client.made(f"/v1/lots/{made['lot']}/releases", {"by": person(client)})
    assert done["quality"] == "released"


def person(client: Client) -> str:
    client.made("/v1/people", {"code": "MB", "name": "M. B."})
    return "MB"


def test_the_earliest_day_of_its_lots_is_its_own(client: Client) -> None:
    oils(
        client,
        old={"expires_on": "2030-05-01", "retest_on": "2029-01-01"},
        new={"expires_on": "2031-05-01"},
    )
    made = topped(client)
    assert (made["expires_on"], made["retest_on"]) == ("2030-05-01", "2029-01-01")
    assert made["assumed"]["expires_on"] == "2030-05-01"


@pytest.mark.parametrize("name", ["expires_on", "retest_on"])
def test_mixing_makes_nothing_keep_longer(client: Client, name: str) -> None:
    oils(client, old={name: "2030-05-01"})
    body = {"with": [{"lot": NEW, "amount": "3 kg"}], name: "2031-01-01"}
    problem = refused(client, **body)
    assert problem["errors"][0]["code"] == "later-than-its-parts"
    send = problem["errors"][0]["remedies"][0]["send"]
    assert client.post(f"/v1/lots/{OLD}/top-ups?dry_run=true", {**body, **send}).status_code == 200
    assert topped(client, **{name: "2029-01-01"})[name] == "2029-01-01"


def test_a_rejected_lot_is_no_plan_and_what_was_poured_is_a_fact(
    client: Client, store: Store
) -> None:
    oils(client)
    client.made(f"/v1/lots/{NEW}/rejections", {"reason": "rancid", "by": person(client)})
    good = received(client, "OIL-LIN", "1 kg")
    body = {"with": [{"lot": NEW, "amount": "3 kg"}, {"lot": good, "amount": "1 kg"}]}
    before = dump(store)
    problem = refused(client, **body)
    assert dump(store) == before
    assert problem["errors"][0]["code"] == "lot-not-open"
    poured, without = (way["send"] for way in problem["errors"][0]["remedies"])
    path = f"/v1/lots/{OLD}/top-ups"
    tried = client.post(f"{path}?dry_run=true", {**body, **without})
    assert [part["lot"] for part in tried.json()["parts"]] == [OLD, good]
    made = client.made(path, {**body, **poured})
    assert made["quality"] == "quarantine"
    opened = client.read(f"/v1/deviations/{made['flags'][0]['opens']}")
    assert (opened["subject"], opened["code"]) == (made["lot"], "lot-not-released")


@pytest.mark.parametrize(
    ("day", "flagged"), [("expires_on", "lot-expired"), ("retest_on", "lot-retest-due")]
)
def test_a_lot_past_its_day_is_no_plan_either(client: Client, day: str, flagged: str) -> None:
    oils(client, new={day: "2025-01-01"})
    body = {"with": [{"lot": NEW, "amount": "3 kg"}]}
    problem = refused(client, **body)
    (way,) = problem["errors"][0]["remedies"]
    made = client.made(f"/v1/lots/{OLD}/top-ups", {**body, **way["send"]})
    assert made[day] == "2025-01-01"
    assert [flag["code"] for flag in made["flags"]] == [flagged]


@pytest.mark.parametrize("wanted", ["poured", "less"])
def test_more_than_is_left_is_refused_with_both_ways_out(client: Client, wanted: str) -> None:
    oils(client)
    body = {"with": [{"lot": NEW, "amount": "3.5 kg"}]}
    problem = refused(client, **body)
    assert problem["type"] == "/problems/stock-short"
    ways = dict(zip(("poured", "less"), problem["errors"][0]["remedies"], strict=True))
    made = client.made(f"/v1/lots/{OLD}/top-ups", {**body, **ways[wanted]["send"]})
    flagged = [flag["code"] for flag in made["flags"]]
    assert flagged == (["stock-negative"] if wanted == "poured" else [])
    assert left(client, NEW) == ("-500" if wanted == "poured" else "0")


def test_more_heel_than_is_left_is_refused_with_what_there_is(client: Client) -> None:
    oils(client)
    body = {"with": [{"lot": NEW, "amount": "3 kg"}], "heel": "1.5 kg"}
    send = refused(client, **body)["errors"][0]["remedies"][1]["send"]
    assert client.made(f"/v1/lots/{OLD}/top-ups", {**body, **send})["amount"]["value"] == "4200"


def test_a_kettle_heel_that_was_counted_as_a_loss_is_booked_back_first(client: Client) -> None:
    oils(client)
    heel = {"lot": OLD, "amount": "150 g", "what": "kettle-heel", "on_ledger": False}
    made = topped(client, NEW, **{"with": [heel]})
    assert left(client, OLD) == "1200"
    causes = [row["cause"] for row in client.read(f"/v1/movements?lot={OLD}")["data"]]
    assert causes == ["top-up", "recovered", "receipt"]
    part = made["parts"][1]
    assert (part["what"], part["on_ledger"], part["share"]) == ("kettle-heel", False, "1/21")


def test_the_rinse_of_a_strainer_is_a_part_and_the_whole_is_named(client: Client) -> None:
    oils(client)
    spirit = received(client, "WSPIRIT", "2 kg")
    rinse = {"lot": spirit, "amount": "100 g", "what": "strainer-rinse"}
    body = {"with": [rinse], "heel": "900 g"}
    problem = refused(client, **body)
    assert problem["errors"][0]["code"] == "material-needed"
    sends = [way["send"] for way in problem["errors"][0]["remedies"]]
    assert sends == [{"material": "OIL-LIN"}, {"material": "WSPIRIT"}]
    made = client.made(f"/v1/lots/{OLD}/top-ups", {**body, **sends[0]})
    assert [part["material"] for part in made["parts"]] == ["OIL-LIN", "WSPIRIT"]
    assert made["parts"][1]["share"] == "1/10"


def test_what_a_mixture_cost_is_what_its_parts_cost(client: Client) -> None:
    currency(client)
    oils(client, old={"price": "6.00"}, new={"price": "18.00"})
    made = topped(client)
    row = next(row for row in client.read("/v1/stock")["data"] if row["lot"] == made["lot"])
    # 24.00 EUR for 4.2 kg
    assert row["value"] == {"value": "24.00", "unit": "EUR"}
    expected = round(float(Fraction(24, 42) * 10), 4)
    assert row["unit_cost"] == {"value": str(expected), "unit": "EUR/kg"}


def test_a_volume_is_converted_once_with_the_density_of_its_lot(client: Client) -> None:
    oils(client, new={"density": declared("0.93 kg/l", temperature="20 °C")})
    made = topped(client, **{"with": [{"lot": NEW, "amount": "2 l"}]})
    assert made["parts"][1]["amount"] == {"value": "1860", "unit": "g"}
    assert made["assumed"]["density"] == {NEW: f"0.93 kg/l at 20 °C, declared, {NEW}"}
    assert refused(client, NEW, **{"with": [{"lot": OLD, "amount": "1 l"}]})["type"] == (
        "/problems/density-needed"
    )


JARS = "JARS-1"


def jars(client: Client) -> None:
    goods(client, "JAR-250", "container")
    receipt(client, {"material": "JAR-250", "amount": 10, "lot": JARS})


@pytest.mark.parametrize(
    ("heel", "body", "code", "pointer"),
    [
        (OLD, {"with": []}, "too-short", "#/with"),
        (OLD, {"with": [{"lot": "NIX-1", "amount": "1 g"}]}, "lot-unknown", "#/with/0/lot"),
        (OLD, {"with": [{"lot": NEW, "amount": 3}]}, "unit-missing", "#/with/0/amount"),
        (OLD, {"with": [{"lot": JARS, "amount": 3}]}, "lot-counted", "#/with/0"),
        (JARS, {"with": [{"lot": NEW, "amount": "1 g"}]}, "lot-counted", "#/heel"),
        (OLD, {"with": [{"lot": OLD, "amount": "1 g"}]}, "lot-twice", "#/with/0"),
        (OLD, {"lot": NEW}, "lot-taken", "#/lot"),
        (OLD, {"material": "NIX"}, "material-unknown", "#/material"),
        (OLD, {"material": "JAR-250"}, "material-counted", "#/material"),
        (OLD, {"happened_at": "2199-01-01T00:00:00Z"}, "time-to-come", "#/happened_at"),
        (OLD, {"heel_on_ledger": False}, "heel-needed", "#/heel"),
        (OLD, {"by": "NOBODY"}, "person-unknown", "#/by"),
    ],
)
def test_what_cannot_be_poured_is_refused_at_its_place(
    client: Client, heel: str, body: dict[str, Any], code: str, pointer: str
) -> None:
    oils(client)
    jars(client)
    whole = {"with": [{"lot": NEW, "amount": "3 kg"}], **body}
    fault = refused(client, heel, **whole)["errors"][0]
    assert (fault["code"], fault["pointer"]) == (code, pointer)


def test_each_lot_stands_once_and_the_remedy_adds_up(client: Client) -> None:
    oils(client)
    heels = [{"lot": NEW, "amount": much, "what": "kettle-heel"} for much in ("1 kg", "500 g")]
    body = {"with": heels}
    send = refused(client, **body)["errors"][0]["remedies"][0]["send"]
    made = client.made(f"/v1/lots/{OLD}/top-ups", {**body, **send})
    assert made["parts"][1]["amount"]["value"] == "1500"
    assert made["parts"][1]["what"] == "kettle-heel"


def test_a_number_is_mended_or_the_next_one_given(client: Client) -> None:
    oils(client)
    made = topped(client, **{"with": [{"lot": NEW, "amount": "1 kg"}]}, heel="1 g")
    wrong = made["lot"][:-1] + ("A" if made["lot"][-1] != "A" else "B")
    body = {"with": [{"lot": NEW, "amount": "1 kg"}], "lot": wrong, "heel": "1 g"}
    fault = refused(client, **body)["errors"][0]
    assert fault["code"] == "lot-mistyped"
    body |= fault["remedies"][0]["send"]
    fault = refused(client, **body)["errors"][0]
    assert fault["code"] == "lot-taken"
    assert client.made(f"/v1/lots/{OLD}/top-ups", {**body, **fault["remedies"][0]["send"]})


def test_a_dry_run_pours_nothing_and_draws_no_number(client: Client, store: Store) -> None:
    oils(client)
    before = dump(store)
    body = {"with": [{"lot": NEW, "amount": "3 kg"}]}
    answer = client.post(f"/v1/lots/{OLD}/top-ups?dry_run=true", body)
    assert answer.status_code == 200
    assert (answer.json()["lot"], answer.json()["parts"][0]["share"]) == (None, "2/7")
    assert dump(store) == before


def test_pouring_needs_the_scope_write(client: Client, store: Store) -> None:
    oils(client)
    recorder = Client(client.app, key_for(store, ["record"]))
    body = {"with": [{"lot": NEW, "amount": "3 kg"}]}
    assert recorder.post(f"/v1/lots/{OLD}/top-ups", body).status_code == 403


def test_of_what_is_used_up_only_what_was_poured_can_be_said(client: Client) -> None:
    oils(client)
    gone = {"lot": NEW, "cause": "scrap", "amount": "3 kg", "reason": "spilt"}
    client.made("/v1/movements", gone)
    problem = refused(client, **{"with": [{"lot": NEW, "amount": "1 g"}]})
    assert [way["send"] for way in problem["errors"][0]["remedies"]] == [{"poured": True}]


def test_a_rejected_heel_is_only_taken_as_poured(client: Client) -> None:
    oils(client)
    client.made(f"/v1/lots/{OLD}/rejections", {"reason": "rancid", "by": person(client)})
    body = {"with": [{"lot": NEW, "amount": "1 kg"}]}
    (way,) = refused(client, **body)["errors"][0]["remedies"]
    made = client.made(f"/v1/lots/{OLD}/top-ups", {**body, **way["send"]})
    assert (made["quality"], made["flags"][0]["code"]) == ("quarantine", "lot-not-released")


def test_the_keys_person_poured_it_where_nobody_is_named(client: Client, store: Store) -> None:
    oils(client)
    hers = Client(client.app, key_for(store, ["write"], person=person(client)))
    made = topped(hers)
    assert (made["by"], made["assumed"]["by"]) == ("MB", "MB")
    void = {"void": True, "reason": "the lid was never off"}
    gone = hers.made(f"/v1/lots/{made['lot']}/top-ups/{made['entry']}/corrections", void)
    assert gone["assumed"] == {"by": "MB"}
