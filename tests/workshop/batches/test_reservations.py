"""What planned batches reserve, and plans that are refused for what is not there."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.batches import COMES, as_planned, line_of, planned, stocked
from tests.makers.panels import merged
from tests.makers.shelf import ways
from tests.makers.stock import receipt, received

PLAN = {"recipe": "RESIN-ZN", "for": "1.2 kg"}
EARLY = {"expires_on": "2026-01-01"}


def shelf(client: Client, lot: str) -> tuple[str, str, str]:
    """Left, reserved and free of a lot, in g."""
    rows = client.read("/v1/stock?limit=500")["data"]
    row = next(row for row in rows if row["lot"] == lot)
    return tuple(row[name]["value"] for name in ("left", "reserved", "free"))


def tried(client: Client, body: Any) -> Any:
    """A plan that is refused; the refusal."""
    answer = client.post("/v1/batches", body)
    assert answer.status_code in {409, 422}, answer.text
    return answer.json()


def leads_out(client: Client, body: Any, problem: Any) -> list[Any]:
    """Each remedy of a refusal, applied on a plan that is only tried."""
    sent = ways(problem)
    for send in sent:
        answer = client.post("/v1/batches?dry_run=true", merged(body, send))
        assert answer.status_code == 200, (send, answer.text)
    return sent


def test_a_planned_batch_reserves_what_it_still_needs(client: Client) -> None:
    lots = stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    # 100 parts of rosin and 5 of zinc oxide make 105: of 1.2 kg 1142.857 g, weighed to 1 g.
    assert shelf(client, lots["ROSIN"]) == ("5000", "1143", "3857")
    client.made(f"/v1/batches/{code}/weighings", {"line": 1, "amount": "600 g", "part": True})
    assert shelf(client, lots["ROSIN"]) == ("4400", "543", "3857")
    client.made(f"/v1/batches/{code}/weighings", {"line": 1, "amount": "541 g"})
    assert shelf(client, lots["ROSIN"])[1] == "0"  # within what it may be off
    assert shelf(client, lots["ZNO"])[1] == "57"
    client.made(f"/v1/batches/{code}/transitions", {"to": "aborted", "text": "the gas ran out"})
    assert shelf(client, lots["ZNO"])[1] == "0"


def test_a_second_plan_takes_what_the_first_leaves_free(client: Client) -> None:
    lots = stocked(client)
    planned(client, "RESIN-ZN", "4 kg")
    second = received(client, "ROSIN", "2 kg")
    code = client.made("/v1/batches", {"recipe": "RESIN-ZN", "for": "2 kg"})["batch"]
    sheet = client.read(f"/v1/batches/{code}/sheet")
    assert line_of(sheet, 1)["lots"] == [lots["ROSIN"], second]
    assert shelf(client, lots["ROSIN"]) == ("5000", "5000", "0")


def test_a_plan_for_more_than_is_free_is_refused_with_its_ways_out(client: Client) -> None:
    stocked(client)
    planned(client, "RESIN-ZN", "4 kg")
    body = {"recipe": "RESIN-ZN", "for": "2 kg"}
    problem = tried(client, body)
    assert (problem["type"], problem["short"]) == ("/problems/stock-short", {"ROSIN": "715 g"})
    sent = leads_out(client, body, problem)
    assert [sorted(send) for send in sent] == [["for"], ["override_reason"]]
    made = client.made("/v1/batches", merged(body, sent[1]))
    assert [flag["code"] for flag in made["flags"]] == ["stock-short"]
    assert made["override_reason"] == sent[1]["override_reason"]


def test_what_batches_under_way_will_make_is_there_for_the_next(client: Client) -> None:
    stocked(client)
    planned(client, "RESIN-ZN", "1.2 kg")
    made = client.made("/v1/batches", {"recipe": "SPAR", "for": "5 kg"})
    assert [flag["code"] for flag in made["flags"]] == ["stock-to-come"]
    # 1.2 kg come, and the first varnish waits for 1.05 of them.
    problem = tried(client, {"recipe": "SPAR", "for": "1 kg"})
    assert list(problem["short"]) == ["RESIN-ZN"]


def test_a_key_without_the_scope_release_overrides_nothing(client: Client, store: Store) -> None:
    stocked(client)
    writer = Client(client.app, key_for(store, ["read", "write"]))
    body = {"recipe": "RESIN-ZN", "for": "12 kg", **COMES}
    problem = tried(writer, body)
    assert "scope release" in problem["errors"][0]["hint"]
    assert all("override_reason" not in send for send in leads_out(writer, body, problem))


def expired(client: Client) -> str:
    """A lot of rosin that expired, beside the one that is open."""
    line = {"material": "ROSIN", "amount": "3 kg", **EARLY}
    return receipt(client, line, on="2025-06-01")["lots"][0]["lot"]


def to_be_looked_at(client: Client) -> str:
    """A lot of rosin whose retest date is past."""
    line = {"material": "ROSIN", "amount": "3 kg", "retest_on": "2026-01-01"}
    return receipt(client, line, on="2025-06-01")["lots"][0]["lot"]


def quarantined(client: Client) -> str:
    """A made lot of the intermediate that nobody released."""
    client.patch("/v1/materials/ZNO", {"lots_start_as": "quarantine"})
    return received(client, "ZNO", "400 g")


@pytest.mark.parametrize("blocked", [expired, to_be_looked_at, quarantined])
def test_a_lot_that_is_not_open_is_chosen_only_with_a_reason(client: Client, blocked: Any) -> None:
    stocked(client)
    lot = blocked(client)
    material = client.read(f"/v1/lots/{lot}")["material"]
    body = {**PLAN, "choose": {material: {"lot": lot}}}
    for path, asked in (("/v1/batches", body), ("/v1/recipes/RESIN-ZN/scalings", None)):
        sent = asked or {"for": body["for"], "choose": body["choose"]}
        answer = client.post(path, sent)
        assert (answer.status_code, answer.json()["errors"][0]["code"]) == (422, "lot-not-open")
        for send in ways(answer.json()):
            assert client.post(path, merged(sent, send)).status_code == 201, send
    code = client.made("/v1/batches", {**body, **COMES})
    assert "lot-overridden" in [flag["code"] for flag in code["flags"]]
    sheet = client.read(f"/v1/batches/{code['batch']}/sheet")
    used = [
        lot for stage in sheet["steps"] for line in stage["lines"] for lot in line.get("lots", ())
    ]
    assert lot in used


def test_a_rejected_lot_feeds_no_plan_whatever_the_reason(client: Client) -> None:
    stocked(client)
    lot = received(client, "ROSIN", "2 kg")
    client.made(f"/v1/lots/{lot}/rejections", {"reason": "full of bark", "by": "MB"})
    body = {**PLAN, "choose": {"ROSIN": {"lot": lot}}, **COMES}
    problem = tried(client, body)
    assert problem["errors"][0]["code"] == "lot-not-open"
    assert all("override_reason" not in send for send in leads_out(client, body, problem))


def test_a_scaling_is_planned_by_its_number_with_the_lots_that_are_left(client: Client) -> None:
    lots = stocked(client)
    found = client.made("/v1/recipes/RESIN-ZN/scalings", {"for": "3 kg"})
    assert found["lines"][0]["from"][0]["lot"] == lots["ROSIN"]
    planned(client, "RESIN-ZN", "4 kg")
    second = received(client, "ROSIN", "2 kg")
    made = client.made("/v1/batches", {"scaling": found["scaling"]})
    assert made["scaling"] == found["scaling"]
    sheet = client.read(f"/v1/batches/{made['batch']}/sheet")
    assert line_of(sheet, 1)["lots"] == [lots["ROSIN"], second]


def test_a_scaling_whose_lot_was_rejected_since_is_scaled_anew(client: Client) -> None:
    lots = stocked(client)
    number = client.made("/v1/recipes/RESIN-ZN/scalings", {"for": "1 kg"})["scaling"]
    received(client, "ROSIN", "2 kg")
    client.made(f"/v1/lots/{lots['ROSIN']}/rejections", {"reason": "full of bark", "by": "MB"})
    body = {"scaling": number}
    problem = tried(client, body)
    assert problem["errors"][0]["code"] == "lot-not-open"
    assert leads_out(client, body, problem)


def test_a_plan_passes_on_what_was_chosen_measured_and_weighed_at_the_bench(
    client: Client,
) -> None:
    stocked(client)
    first = client.made("/v1/recipes/RESIN-ZN/scalings", {"for": "1 kg"})["scaling"]
    bench = {"scaling": first, "weighed": {"1": "1000 g"}}
    made = client.made("/v1/batches", {"recipe": "RESIN-ZN", "bench": bench})
    sheet = client.read(f"/v1/batches/{made['batch']}/sheet")
    assert line_of(sheet, 2)["target"]["value"] == "50"  # 5 parts to 100
    measured = [{"stage": "cook", "mass": "1 kg"}]
    made = client.made("/v1/batches", {"recipe": "RESIN-ZN", "for": "1 kg", "measured": measured})
    scaling = client.read(f"/v1/recipes/RESIN-ZN/scalings/{made['scaling']}")
    assert scaling["sent"]["measured"] == [{"stage": "cook", "mass": "1 kg"}]
    for extra in ({"bench": bench}, {"choose": {"ROSIN": {"version": 1}}}, {"measured": measured}):
        problem = tried(client, {"scaling": first, **extra})
        assert problem["errors"][0]["code"] == "one-of-two"
    nothing = {"choose": {}, "measured": [], "bench": None}
    assert client.post("/v1/batches", {"scaling": first, **nothing}).status_code == 201


def test_a_lot_that_was_chosen_is_gone_on_with_at_the_bench(client: Client) -> None:
    stocked(client)
    lot = received(client, "ROSIN", "1 kg")
    chosen = {"choose": {"ROSIN": {"lot": lot}}}
    made = client.made("/v1/batches", {"recipe": "RESIN-ZN", "for": "1 kg", **chosen})
    weighed = {"line": 1, "amount": "1 kg"}  # all of it
    client.made(f"/v1/batches/{made['batch']}/weighings", weighed)
    bench = {"bench": {"scaling": made["scaling"], "weighed": {"1": "1 kg"}}}
    found = client.made("/v1/recipes/RESIN-ZN/scalings", bench)
    assert found["lines"][1]["target"]["value"] == "50"


def test_lines_that_follow_what_was_weighed_reserve_what_they_are_aimed_at(
    client: Client,
) -> None:
    lots = stocked(client)
    code = planned(client, "RESIN-ZN", "1.05 kg", bench_mode=True)
    client.made(f"/v1/batches/{code}/weighings", {"line": 1, "amount": "900 g"})
    # The lump of 900 g is taken as it is; 5 parts of oxide to its 100 are 45 g.
    assert shelf(client, lots["ROSIN"]) == ("4100", "0", "4100")
    assert shelf(client, lots["ZNO"])[1] == "45"


def test_a_finished_page_reserves_nothing_more(client: Client) -> None:
    lots = stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    sheet = client.read(f"/v1/batches/{code}/sheet")
    page = {"lines": as_planned(sheet), "yield": "1.2 kg", "finished": True}
    client.made(f"/v1/batches/{code}/pages", page)
    assert shelf(client, lots["ROSIN"]) == ("3857", "0", "3857")


def test_a_lot_to_be_looked_at_says_how_it_is_opened_again(client: Client) -> None:
    stocked(client)
    lot = to_be_looked_at(client)
    body = {**PLAN, "choose": {"ROSIN": {"lot": lot}}}
    (fault,) = client.post("/v1/batches", body).json()["errors"]
    call = f"/v1/lots/{lot}/releases"
    assert call in fault["hint"]
    client.made(call, {"by": "MB", "retest_on": "2199-01-01"})
    assert client.post("/v1/batches", body).status_code == 201
