"""Stages as they are worked: days and weeks, masses in and out, ripe on a day, corrected."""

from collections import Counter
from decimal import Decimal
from typing import Any

from service.store.session import Store
from service.workshop.stock import queries as stock
from tests.client import Client, system
from tests.makers.batches import left
from tests.makers.recipes import material, refused
from tests.makers.worked_stages import (
    RIPENING,
    begun,
    charged,
    corrected,
    day,
    decanted,
    entry_corrected,
    flags,
    went_on,
)


def origins(store: Store, number: str) -> dict[str, int]:
    """How much of each lot is in one, in mg."""
    with store.reading(system()) as session:
        held = stock.lot(session, number)
        return {parent.number: mg for parent, mg in stock.parents(session, held.row_id)}


def stage(client: Client, code: str, number: int) -> Any:
    return client.read(f"/v1/batches/{code}/stages/{number}")


def test_a_stage_goes_on_for_weeks_with_its_weigh_ins(client: Client) -> None:
    code = charged(client)
    made = begun(client, code, "sun-thicken", started_at=day(1, 18), **{"in": "2000 g"})
    assert (made["state"], made["number"], flags(made)) == ("running", 1, ["stage-unplanned"])
    weeks = [{"at": day(7 * week), "amount": f"{2000 + 20 * week} g"} for week in (1, 2, 3)]
    went_on(client, code, 1, weigh_ins=weeks)
    ended = went_on(client, code, 1, ended=True, happened_at=day(22, 18))
    # 2020, 2040 and 2060 g of 2000 g.
    assert [each["since_start"]["value"] for each in ended["weigh_ins"]] == ["1.00", "2.00", "3.00"]
    assert ended["weigh_ins"][0]["since_last"] is None
    assert ended["weigh_ins"][2]["since_last"]["value"] == "0.98"
    assert ended["lasted"] == {"value": "3", "unit": "week"}
    assert stage(client, code, 1)["state"] == "ended"


def test_a_decanted_oil_shows_its_parts_and_its_yields(client: Client) -> None:
    code = charged(client)
    made = decanted(client, code)
    assert [(part["part"], part["goes"]) for part in made["out"]] == [
        ("clear", "on"),
        ("foots", "scrap"),
    ]
    listed = client.read(f"/v1/batches/{code}/stages")["data"]
    assert [each["stage"] for each in listed] == ["settle", "decant"]
    balance = client.read(f"/v1/batches/{code}/mass-balance")
    assert balance["taken_out"][0]["mass"]["value"] == "50"
    # The plan loses 2 % of the 2040 g in decanting: 1999.2 g should be left, 1950 g went on.
    assert made["yield"]["theory"]["value"] == "1999.2"
    assert made["yield"]["of_theory"]["value"] == "97.5"


def test_foots_may_be_kept_as_a_lot_that_knows_where_it_came_from(
    client: Client, store: Store
) -> None:
    code = charged(client)
    material(client, "FOOTS", kind="intermediate")
    made = decanted(client, code, goes="lot", material="FOOTS")
    lot = made["out"][1]["lot"]
    assert left(client, lot) == {"value": "50", "unit": "g"}
    assert sum(origins(store, lot).values()) == 50_000
    page = {"yield": "1950 g", "finished": True}
    client.made(f"/v1/batches/{code}/pages", page)
    both = Counter(origins(store, lot)) + Counter(origins(store, code))
    weighed = client.read(f"/v1/batches/{code}/weighings")["data"]
    assert both == {each["lot"]: 1000 * Decimal(each["weighed"]["value"]) for each in weighed}


def test_a_part_that_is_corrected_or_voided_moves_its_lot(client: Client, store: Store) -> None:
    code = charged(client)
    material(client, "FOOTS", kind="intermediate")
    made = decanted(client, code, goes="lot", material="FOOTS")
    foots = made["out"][1]
    now = entry_corrected(client, code, 2, foots["entry"], replaces={"amount": "60 g"})
    assert left(client, foots["lot"])["value"] == "60"
    assert now["out"][1]["corrects"] == foots["entry"]
    gone = entry_corrected(client, code, 2, now["corrected"], void=True)
    assert [part["part"] for part in gone["out"]] == ["clear"]
    assert left(client, foots["lot"])["value"] == "0"
    assert origins(store, foots["lot"]) == {}


def test_a_voided_stage_takes_its_entries_with_it(client: Client) -> None:
    code = charged(client)
    material(client, "FOOTS", kind="intermediate")
    lot = decanted(client, code, goes="lot", material="FOOTS")["out"][1]["lot"]
    gone = corrected(client, code, 2, void=True)
    assert (gone["void"], gone["out"]) == (True, [])
    assert left(client, lot)["value"] == "0"
    assert client.get(f"/v1/batches/{code}/stages/2").status_code == 404
    assert begun(client, code, "decant")["number"] == 3


def test_where_foots_went_is_asked_and_the_answer_is_taken(client: Client) -> None:
    code = charged(client)
    path = f"/v1/batches/{code}/stages"
    body = {"stage": "decant", "out": [{"part": "foots", "amount": "50 g"}]}
    wrong = refused(client, path, body)["errors"][0]
    assert (wrong["pointer"], wrong["code"]) == ("#/out/0/goes", "goes-missing")
    body["out"][0]["goes"] = "scrap"
    assert client.post(path, body).status_code == 201


def test_time_runs_one_way_in_a_request(client: Client) -> None:
    code = charged(client)
    path = f"/v1/batches/{code}/stages"
    weeks = [{"at": day(14), "amount": "1990 g"}, {"at": day(7), "amount": "1995 g"}]
    body = {"stage": "settle", "started_at": day(1, 18), "weigh_ins": weeks}
    wrong = refused(client, path, body)["errors"][0]
    assert (wrong["pointer"], wrong["code"]) == ("#/weigh_ins/1/at", "time-backwards")
    made = client.made(path, {**body, **wrong["remedies"][0]["send"]})
    assert [each["weighed"]["value"] for each in made["weigh_ins"]] == ["1995", "1990"]


def test_a_stage_does_not_end_before_it_began(client: Client) -> None:
    code = charged(client)
    path = f"/v1/batches/{code}/stages"
    body = {"stage": "settle", "started_at": day(15), "ended_at": day(1, 18)}
    wrong = refused(client, path, body)["errors"][0]
    assert (wrong["pointer"], wrong["code"]) == ("#/ended_at", "time-backwards")
    made = client.made(path, {**body, **wrong["remedies"][0]["send"]})
    assert made["started_at"] == day(1, 18)
    late = {"ended": True, "happened_at": day(1, 9)}
    begun(client, code, "decant", started_at=day(16))
    wrong = refused(client, f"{path}/2/entries", late)["errors"][0]
    assert (wrong["pointer"], wrong["code"]) == ("#/happened_at", "time-backwards")


def test_a_stage_ends_once(client: Client) -> None:
    code = charged(client)
    begun(client, code, "settle", started_at=day(1, 18), ended_at=day(15))
    again = refused(client, f"/v1/batches/{code}/stages/1/entries", {"ended": True}, 409)
    assert again["type"] == "/problems/stage-ended"


def test_a_stage_that_was_to_be_dry_is_asked_about_where_it_is_not(client: Client) -> None:
    code = charged(client)
    body = {"started_at": day(1, 18), "constant_within": "0.5 %"}
    weigh_ins = [{"at": day(2), "amount": "2000 g"}, {"at": day(3), "amount": "1980 g"}]
    begun(client, code, "dry", **body, weigh_ins=weigh_ins)
    # 20 g of 1980 g are more than 0.5 %; 5 g of 1975 g are less.
    assert stage(client, code, 1)["constant"] is False
    wet = went_on(client, code, 1, ended=True, happened_at=day(4))
    assert "mass-not-constant" in flags(wet)
    begun(client, code, "dry", **body, weigh_ins=weigh_ins)
    last = [{"at": day(4), "amount": "1975 g"}]
    dry = went_on(client, code, 2, weigh_ins=last, ended=True, happened_at=day(5))
    assert (dry["constant"], flags(dry)) == (True, [])


def test_more_out_of_a_stage_than_was_in_it_is_kept_and_asked_about(client: Client) -> None:
    code = charged(client)
    whole = [{"part": "whole", "amount": "2100 g"}]
    body = {"started_at": day(1, 18), "ended_at": day(9), "out": whole}
    made = begun(client, code, "settle", **body, **{"in": "2000 g"})
    assert flags(made) == ["stage-gain"]
    # A step of 1 g: a rectangle has 1/√12 g, two masses √2 of it, twice that is 0.816 g.
    assert made["balance"]["uncertainty"]["value"] == "0.816"
    assert (made["balance"]["judged"], made["balance"]["missing"]["value"]) == ("gain", "-100")
    number = made["flags"][0]["opens"]
    client.made(f"/v1/deviations/{number}/conclusions", {"text": "weighed with the bucket"})


def test_what_matures_is_released_on_its_day_and_not_before(client: Client) -> None:
    code = charged(client, stages=RIPENING)
    page = {"on": "2026-09-01", "yield": "1990 g", "finished": True}
    client.made(f"/v1/batches/{code}/pages", page)
    made = begun(client, code, "mature", ready_on="2199-01-01")
    assert client.read(f"/v1/lots/{code}")["ready_on"] == "2199-01-01"
    assert flags(made) == []
    stands = client.read(f"/v1/lots/{code}/readiness")["stands_against"]
    unripe = next(one for one in stands if one["code"] == "not-ripe")
    assert unripe["concluded_by"] == f"POST /v1/batches/{code}/stages"
    corrected(client, code, 1, replaces={"ready_on": "2026-09-20"})
    stands = client.read(f"/v1/lots/{code}/readiness")["stands_against"]
    assert "not-ripe" not in [one["code"] for one in stands]


def test_what_the_recipe_lets_mature_is_ripe_when_it_says(client: Client) -> None:
    code = charged(client, stages=RIPENING)
    page = {"on": "2026-09-01", "yield": "1990 g", "finished": True}
    client.made(f"/v1/batches/{code}/pages", page)
    assert client.read(f"/v1/lots/{code}")["ready_on"] == "2026-09-29"


def test_a_lapsed_calibration_is_flagged_and_opened_once_for_a_day(client: Client) -> None:
    code = charged(client)
    client.patch("/v1/equipment/BAL-6KG", {"calibrated_until": "2026-08-31"})
    body = {"started_at": day(2), "equipment": ["KETTLE-2", "BAL-6KG"]}
    first = begun(client, code, "settle", **body)
    assert flags(first) == ["calibration-lapsed"]
    weigh_ins = [{"at": day(2, 12), "amount": "1990 g"}]
    again = went_on(client, code, 1, weigh_ins=weigh_ins)
    assert again["flags"][0]["opens"] == first["flags"][0]["opens"]
    used = {each["code"]: each["lapsed"] for each in again["equipment"]}
    assert used == {"KETTLE-2": None, "BAL-6KG": True}
    other = went_on(client, code, 1, weigh_ins=[{"at": day(3), "amount": "1989 g"}])
    assert other["flags"][0]["opens"] != first["flags"][0]["opens"]


def test_only_what_matures_becomes_ready(client: Client) -> None:
    code = charged(client)
    path = f"/v1/batches/{code}/stages"
    wrong = refused(client, path, {"stage": "settle", "ready_on": "2026-12-24"})["errors"][0]
    assert wrong["code"] == "ready-without-maturing"
    begun(client, code, "mature", ready_on="2026-12-24")
    body = {"replaces": {"stage": "settle"}, "reason": "it only settled"}
    wrong = refused(client, f"{path}/1/corrections", body)["errors"][0]
    assert wrong["code"] == "ready-without-maturing"
    body["replaces"]["ready_on"] = None
    assert client.made(f"{path}/1/corrections", body)["stage"] == "settle"
