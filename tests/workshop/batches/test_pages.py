"""Whole pages: what an evening wrote by hand, entered at once or not at all."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, dump, key_for
from tests.makers.batches import as_planned, evening, left, planned, ready, stocked


def merged(body: Any, patch: Any) -> Any:
    """RFC 7396, as a client applies a remedy."""
    if not isinstance(patch, dict):
        return patch
    kept = dict(body) if isinstance(body, dict) else {}
    for name, value in patch.items():
        if value is None:
            kept.pop(name, None)
        else:
            kept[name] = merged(kept.get(name), value)
    return kept


def remedies(answer: Any) -> list[dict[str, Any]]:
    """Every remedy of a refusal."""
    return [way for error in answer.json()["errors"] for way in error.get("remedies", [])]


def test_an_evening_page_weighs_cooks_notes_and_finishes(client: Client) -> None:
    code, lots = ready(client)
    made = client.made(f"/v1/batches/{code}/pages", evening(lots))
    assert made["summary"] == (
        "4 weighings, 3 cook points, 1 note, yield 5.478 kg (99.8 % of theory); "
        f"batch complete, lot {code} made"
    )
    assert made["assumed"] == {
        "lots": {"1": lots["RESIN-ZN"], "2": lots["OIL-LIN"], "4": lots["WSPIRIT"]},
        "balance": "BAL-6KG",
        "unit": "g",
        "zone": "Europe/London",
    }
    assert [line["verdict"] for line in made["lines"]] == ["within"] * 4
    assert made["lines"][0]["weighed"]["value"] == "1149.5"


def test_a_pour_above_the_plan_is_flagged_and_kept(client: Client) -> None:
    code, lots = ready(client)
    made = client.made(f"/v1/batches/{code}/pages", evening(lots))
    number = made["open_deviations"][0]
    assert made["flags"] == [
        {
            "code": "solvent-poured-hot",
            "text": "150 °C; the plan said 120 °C or below.",
            "line": 4,
            "opens": number,
            "concluded_by": f"POST /v1/deviations/{number}/conclusions",
        }
    ]


def test_completion_makes_the_lot_with_its_origins(client: Client) -> None:
    code, lots = ready(client)
    client.made(f"/v1/batches/{code}/pages", evening(lots))
    lot = client.read(f"/v1/lots/{code}")
    assert (lot["kind"], lot["quality"], lot["made_on"]) == ("made", "quarantine", "2026-11-25")
    assert lot["left"] == {"value": "5478", "unit": "g"}
    origins = client.read(f"/v1/lots/{code}/origins")["lots"]
    direct = {row["lot"]: row["amount"]["value"] for row in origins if row["depth"] == 1}
    assert direct[lots["RESIN-ZN"]] == "1149.5"
    assert len(direct) == 4
    assert left(client, lots["OIL-TUNG"]) == {"value": "2081.5", "unit": "g"}


def test_a_dry_run_answers_like_the_page_and_writes_nothing(client: Client, store: Store) -> None:
    code, lots = ready(client)
    before = dump(store)
    tried = client.post(f"/v1/batches/{code}/pages?dry_run=true", evening(lots))
    assert tried.status_code == 200, tried.text
    assert dump(store) == before
    made = client.made(f"/v1/batches/{code}/pages", evening(lots))
    drawn = ("flags", "figures", "open_deviations", "dry_run")
    assert tried.json()["dry_run"] is not made["dry_run"]
    assert all(tried.json()[name] == value for name, value in made.items() if name not in drawn)


def test_twin_pages_under_one_key_are_written_once(client: Client) -> None:
    code, lots = ready(client)
    key = {"Idempotency-Key": "one-evening-page"}
    path = f"/v1/batches/{code}/pages"
    first = client.post(path, evening(lots), headers=key)
    second = client.post(path, evening(lots), headers=key)
    assert (first.status_code, second.status_code) == (201, 201)
    assert first.json() == second.json()
    assert len(client.read(f"/v1/batches/{code}/weighings")["data"]) == 4


def test_a_page_sent_again_without_a_key_is_recognised(client: Client) -> None:
    code, lots = ready(client)
    page = evening(lots, finished=False)
    client.made(f"/v1/batches/{code}/pages", page)
    answer = client.post(f"/v1/batches/{code}/pages", page)
    assert answer.json()["type"] == "/problems/page-known"


def wrong_lot(client: Client) -> tuple[str, dict[str, Any]]:
    """A page whose third line names the linseed oil instead of the tung oil."""
    code, lots = ready(client)
    page = evening(lots)
    page["lines"]["3"] = {"weighed": "918.5", "lot": lots["OIL-LIN"]}
    return code, page


def test_the_wrong_material_is_refused_once_with_both_ways_out(client: Client) -> None:
    code, page = wrong_lot(client)
    answer = client.post(f"/v1/batches/{code}/pages", page)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/wrong-material")
    assert answer.json()["errors"][0]["pointer"] == "#/lines/3/lot"
    assert "All else on the page is in order." in answer.json()["detail"]
    assert [set(way["send"]["lines"]["3"]) for way in remedies(answer)] == [{"lot"}, {"substitute"}]


@pytest.mark.parametrize(("way", "codes"), [(0, []), (1, ["substitute"])])
def test_either_way_out_of_the_wrong_material_goes(
    client: Client, way: int, codes: list[str]
) -> None:
    code, page = wrong_lot(client)
    refused = client.post(f"/v1/batches/{code}/pages", page)
    mended = merged(page, remedies(refused)[way]["send"])
    made = client.made(f"/v1/batches/{code}/pages", mended)
    assert [flag["code"] for flag in made["flags"] if flag["line"] == 3] == codes


def test_a_failing_line_writes_nothing_of_the_page(client: Client, store: Store) -> None:
    code, lots = ready(client)
    before = dump(store)
    page = evening(lots)
    page["lines"] |= {"2": "ten", "12": "1"}
    answer = client.post(f"/v1/batches/{code}/pages", page)
    assert answer.status_code == 422
    places = [error["pointer"] for error in answer.json()["errors"]]
    assert places == ["#/lines/2", "#/lines/12"]
    assert dump(store) == before


def test_a_lot_that_is_not_said_is_asked_for_in_the_long_form(client: Client) -> None:
    lots = stocked(client)
    body = {"lines": [{"material": "ZNO", "amount": "500 g"}], "from": "invented supplier"}
    second = client.made("/v1/receipts", body)["lots"][0]["lot"]
    code = planned(client, "RESIN-ZN", "12 kg")
    page = {"lines": {"2": "571"}}
    answer = client.post(f"/v1/batches/{code}/pages", page)
    assert answer.json()["errors"][0]["code"] == "lot-needed"
    ways = remedies(answer)
    assert [way["send"]["lines"]["2"]["lot"] for way in ways] == [lots["ZNO"], second]
    made = client.made(f"/v1/batches/{code}/pages", merged(page, ways[1]["send"]))
    assert made["lines"][0]["weighed"]["value"] == "571"


def test_a_line_weighed_from_two_lots_is_judged_by_their_sum(client: Client) -> None:
    lots = stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    entry = [{"weighed": "643", "lot": lots["ROSIN"]}, {"weighed": "500", "lot": lots["ROSIN"]}]
    made = client.made(f"/v1/batches/{code}/pages", {"lines": {"1": entry}})
    assert [line["verdict"] for line in made["lines"]] == ["none", "within"]
    assert made["flags"] == []


def test_a_page_is_finished_only_with_its_yield(client: Client) -> None:
    code, lots = ready(client)
    page = {name: value for name, value in evening(lots).items() if name != "yield"}
    answer = client.post(f"/v1/batches/{code}/pages", page)
    assert answer.json()["type"] == "/problems/yield-missing"
    made = client.made(f"/v1/batches/{code}/pages", merged(page, remedies(answer)[0]["send"]))
    assert made["state"] == "running"


def test_a_line_left_out_is_a_deviation_of_completion(client: Client) -> None:
    code, lots = ready(client)
    page = evening(lots)
    del page["lines"]["2"]
    made = client.made(f"/v1/batches/{code}/pages", page)
    codes = {flag["code"]: flag["line"] for flag in made["flags"]}
    assert codes["line-not-weighed"] == 2
    assert "more-out-than-in" in codes


def test_an_empty_sheet_sent_back_says_nothing(client: Client) -> None:
    code, _ = ready(client)
    sheet = client.read(f"/v1/batches/{code}/sheet")
    answer = client.post(f"/v1/batches/{code}/pages", sheet["page_to_send"])
    assert answer.json()["errors"][0]["code"] == "page-empty"
    sheet["page_to_send"]["lines"] |= {**as_planned(sheet), "6": "string 3 cm", "8": "5.478 kg"}
    made = client.made(f"/v1/batches/{code}/pages", sheet["page_to_send"])
    assert made["summary"].startswith("4 weighings, 1 step, yield 5.478 kg")


def test_a_yield_needs_its_unit(client: Client) -> None:
    code, lots = ready(client)
    answer = client.post(f"/v1/batches/{code}/pages", evening(lots, **{"yield": "5.478"}))
    assert answer.json()["errors"][0] == {
        **answer.json()["errors"][0],
        "pointer": "#/yield",
        "code": "unit-unknown",
    }


@pytest.mark.parametrize(
    ("on", "zone_time", "code"),
    [("2026-10-25", "01:30", "time-ambiguous"), ("2026-03-29", "about 01:30", "time-nonexistent")],
)
def test_a_time_that_the_clocks_showed_twice_or_never_asks_which(
    client: Client, on: str, zone_time: str, code: str
) -> None:
    batch, lots = ready(client)
    page = evening(lots, on=on, cook=[[zone_time, 60]], notes={})
    answer = client.post(f"/v1/batches/{batch}/pages", page)
    fault = answer.json()["errors"][0]
    assert (fault["code"], fault["pointer"]) == (code, "#/cook/0/0")
    assert len(fault["remedies"]) == 2
    for way in fault["remedies"]:
        tried = client.post(f"/v1/batches/{batch}/pages?dry_run=true", merged(page, way["send"]))
        assert tried.status_code == 200, tried.text


def test_an_ambiguous_note_is_mended_by_its_remedy(client: Client) -> None:
    batch, lots = ready(client)
    page = evening(lots, on="2026-10-25", cook=[], notes={"01:30": "skin on the pot"})
    answer = client.post(f"/v1/batches/{batch}/pages", page)
    client.made(f"/v1/batches/{batch}/pages", merged(page, remedies(answer)[1]["send"]))
    note = client.read(f"/v1/batches/{batch}/notes")["data"][0]
    assert (note["text"], note["happened_at"]) == ("skin on the pot", "2026-10-25T01:30:00Z")


def test_about_is_a_quarter_of_an_hour_and_a_day_without_a_time_half_a_day(client: Client) -> None:
    code, lots = ready(client)
    client.made(f"/v1/batches/{code}/pages", evening(lots))
    points = client.read(f"/v1/batches/{code}/cook-points?sort=happened_at")["data"]
    assert [point["about"] for point in points] == [None, "PT15M", None]
    assert points[0]["happened_at"] == "2026-11-25T13:05:00Z"
    weighing = client.read(f"/v1/batches/{code}/weighings")["data"][0]
    assert (weighing["about"], weighing["entered_from"]) == ("PT12H", "paper")


def test_a_page_names_its_photo_which_may_come_later(client: Client) -> None:
    code, lots = ready(client)
    name = "sha256:" + "0123456789abcdef" * 4
    page = evening(lots, photo=name)
    made = client.made(f"/v1/batches/{code}/pages", page)
    assert (made["photo"]["name"], made["photo"]["here"]) == (name, False)
    (listed,) = client.read(f"/v1/batches/{code}/pages")["data"]
    assert (listed["page"], listed["photo"]["name"], listed["by"]) == (1, name, "MB")
    del page["photo"]
    again = client.post(f"/v1/batches/{code}/pages", page)
    assert again.json()["type"] == "/problems/page-known"


def test_a_photo_that_was_missing_is_added_and_one_of_another_page_taken_back(
    client: Client, app: Any, store: Store
) -> None:
    code, lots = ready(client)
    client.made(f"/v1/batches/{code}/pages", evening(lots))
    names = [f"sha256:{digit * 64}" for digit in "ab"]
    path = f"/v1/batches/{code}/pages/1/corrections"
    weak = Client(app, key_for(store, ["record", "read"]))
    weak.made(path, {"replaces": {"photo": names[0]}, "reason": "still in the camera"})
    swap = {"replaces": {"photo": names[1]}, "reason": "that was last week's"}
    assert weak.post(path, swap).status_code == 403  # the batch is complete
    made = client.made(path, swap)
    assert made["photo"]["name"] == names[1]
    assert client.made(path, {"void": True, "reason": "nor that one"})["photo"] is None
    listed = client.read(f"/v1/batches/{code}/pages?sort=-id")["data"]
    assert [row["page"] for row in listed] == [1, 1, 1, 1]
    assert [row["corrected_by"] is None for row in listed] == [True, False, False, False]
    answer = client.post(f"/v1/batches/{code}/pages/2/corrections", swap)
    assert answer.json()["type"] == "/problems/entry-unknown"
