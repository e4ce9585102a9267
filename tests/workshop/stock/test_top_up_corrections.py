"""A top-up put right: ledger, origins, figures and what follows from them go along."""

from typing import Any

from sqlmodel import select

from service.store.records import standing
from service.store.session import Store
from service.workshop.stock import queries
from service.workshop.stock.queries import Movement
from tests.client import Client, system
from tests.makers.stock import receipt
from tests.makers.top_ups import NEW, OLD, declared, left, oils, topped

SLIP = {"reason": "read the scale wrongly"}


def corrected(client: Client, made: Any, **body: Any) -> Any:
    path = f"/v1/lots/{made['lot']}/top-ups/{made['entry']}/corrections"
    return client.made(path, {**SLIP, **body})


def origins(client: Client, lot: str) -> dict[str, str]:
    rows = client.read(f"/v1/lots/{lot}/origins")["lots"]
    return {row["lot"]: row["amount"]["value"] for row in rows}


def test_other_amounts_take_the_place_of_the_first(client: Client) -> None:
    oils(client)
    made = topped(client)
    replaces = {"heel": "1 kg", "with": [{"lot": NEW, "amount": "2 kg"}]}
    new = corrected(client, made, replaces=replaces)
    assert (new["lot"], new["corrects"], new["entry"]) == (
        made["lot"],
        made["entry"],
        made["entry"] + 1,
    )
    assert [part["share"] for part in new["parts"]] == ["1/3", "2/3"]
    assert (left(client, OLD), left(client, NEW), left(client, made["lot"])) == (
        "200",
        "1000",
        "3000",
    )
    assert origins(client, made["lot"]) == {OLD: "1000", NEW: "2000"}
    assert client.read(f"/v1/lots/{made['lot']}")["came"]["value"] == "3000"
    listed = client.read(f"/v1/lots/{OLD}/top-ups?sort=id")["data"]
    assert [row["corrected_by"] for row in listed] == [new["entry"], None]
    assert listed[0]["happened_at"] == listed[1]["happened_at"]


def test_what_is_not_replaced_stays(client: Client) -> None:
    oils(client)
    made = topped(client, heel="500 g")
    new = corrected(client, made, replaces={"heel": "600 g"})
    assert [part["amount"]["value"] for part in new["parts"]] == ["600", "3000"]


def test_a_void_top_up_never_happened(client: Client) -> None:
    oils(client, old={"figures": {"density": declared("0.93 kg/l")}})
    made = topped(client, **{"with": [{"lot": NEW, "amount": "3 kg", "on_ledger": False}]})
    gone = corrected(client, made, void=True)
    assert (gone["void"], gone["flags"], gone["left"]["value"]) == (True, [], "0")
    assert [part["lot"] for part in gone["parts"]] == [OLD, NEW]
    assert (left(client, OLD), left(client, NEW)) == ("1200", "3000")
    assert origins(client, made["lot"]) == {}
    assert client.read(f"/v1/lots/{made['lot']}/figures")["figures"] == []


def test_what_was_drawn_of_a_void_mixture_is_flagged(client: Client) -> None:
    oils(client)
    made = topped(client)
    drawn = {"lot": made["lot"], "cause": "cleaning", "amount": "100 g"}
    client.made("/v1/movements", drawn)
    gone = corrected(client, made, void=True)
    assert gone["left"]["value"] == "-100"
    (flag,) = gone["flags"]
    opened = client.read(f"/v1/deviations/{flag['opens']}")
    assert (opened["code"], opened["subject"]) == ("stock-negative", made["lot"])


def test_figures_are_worked_out_anew_and_what_was_measured_since_stands(client: Client) -> None:
    acid = {"acid_value": declared("4 mg KOH/g")}
    sharp = {"acid_value": declared("8 mg KOH/g")}
    oils(client, old={"figures": acid}, new={"figures": sharp})
    made = topped(client, heel="1 kg", **{"with": [{"lot": NEW, "amount": "1 kg"}]})
    assert made["figures"][0]["value"] == "6"
    new = corrected(client, made, replaces={"with": [{"lot": NEW, "amount": "3 kg"}]})
    assert new["figures"][0]["value"] == "7"
    known = client.read(f"/v1/lots/{made['lot']}/figures")["figures"]
    assert [row["value"] for row in known] == ["7"]
    measured = {"property": "acid_value", "value": "6.6 mg KOH/g", "basis": "measured"}
    client.made(f"/v1/lots/{made['lot']}/figures", {**measured, "method": "titrated warm"})
    corrected(client, new, replaces={"heel": "900 g"})
    known = client.read(f"/v1/lots/{made['lot']}/figures")["figures"]
    assert [row["value"] for row in known] == ["6.6"]


def test_a_figure_that_someone_corrected_is_no_obstacle(client: Client) -> None:
    acid = {"figures": {"acid_value": declared("4 mg KOH/g")}}
    oils(client, old=acid, new=acid)
    made = topped(client)
    (row,) = client.read(f"/v1/figures?subject={made['lot']}")["data"]
    void = {"void": True, "reason": "it reacts with the lime in it"}
    client.made(f"/v1/figures/{row['figure']}/corrections", void)
    assert corrected(client, made, void=True)["void"]


def test_a_lot_in_quarantine_found_afterwards_takes_the_release_back(client: Client) -> None:
    oils(client)
    receipt(client, {"material": "OIL-LIN", "amount": "1 kg", "lot": "BAD-1"})
    client.made("/v1/people", {"code": "MB", "name": "M. B."})
    client.made("/v1/lots/BAD-1/rejections", {"reason": "rancid", "by": "MB"})
    made = topped(client)
    assert made["quality"] == "released"
    new = corrected(client, made, replaces={"with": [{"lot": "BAD-1", "amount": "1 kg"}]})
    assert new["quality"] == "quarantine"
    assert [flag["code"] for flag in new["flags"]] == ["lot-not-released"]


def test_an_earlier_day_found_afterwards_counts_and_a_later_one_does_not(client: Client) -> None:
    oils(client, old={"expires_on": "2031-01-01"})
    for lot, day in (("SOON-1", "2030-01-01"), ("LATE-1", "2032-01-01")):
        line = {"material": "OIL-LIN", "amount": "1 kg", "lot": lot, "expires_on": day}
        receipt(client, line)
    made = topped(client)
    for lot in ("SOON-1", "LATE-1"):
        replaces = {"with": [{"lot": lot, "amount": "1 kg"}]}
        made = corrected(client, made, replaces=replaces)
        assert made["expires_on"] == "2030-01-01"


def test_an_entry_is_corrected_once(client: Client) -> None:
    oils(client)
    made = topped(client)
    corrected(client, made, void=True)
    path = f"/v1/lots/{OLD}/top-ups/{made['entry']}/corrections"
    again = client.post(path, {**SLIP, "void": True})
    assert again.json()["type"] == "/problems/already-corrected"
    other = client.post(f"/v1/lots/{NEW}/top-ups/{made['entry']}/corrections", SLIP)
    assert other.status_code == 422  # neither replaces nor void
    unknown = client.post(f"/v1/lots/{OLD}/top-ups/99/corrections", {**SLIP, "void": True})
    assert unknown.json()["type"] == "/problems/entry-unknown"


def test_a_mixture_does_not_go_into_itself(client: Client) -> None:
    oils(client)
    made = topped(client)
    further = client.made(
        f"/v1/lots/{made['lot']}/top-ups",
        {"with": [{"lot": NEW, "amount": "1 g", "on_ledger": False}]},
    )
    path = f"/v1/lots/{made['lot']}/top-ups/{made['entry']}/corrections"
    for lot in (made["lot"], further["lot"]):
        body = {**SLIP, "replaces": {"with": [{"lot": lot, "amount": "1 g"}]}}
        answer = client.post(path, body)
        assert answer.json()["errors"][0]["code"] == "lot-of-this-top-up"


def test_what_stands_of_the_ledger_sums_to_what_is_left(client: Client, store: Store) -> None:
    oils(client)
    made = topped(client)
    new = corrected(client, made, replaces={"heel": "700 g"})
    corrected(client, new, void=True)
    with store.reading(system()) as session:
        for number in (OLD, NEW, made["lot"]):
            lot = queries.lot(session, number)
            lines = queries.movements_of(session, lot.row_id)
            kept = select(Movement).where(Movement.lot == lot.row_id, standing(Movement))
            live = session.exec(kept).all()
            assert sum(line.amount for line in lines) == sum(line.amount for line in live)


def test_a_top_up_is_corrected_at_each_lot_that_it_is_listed_at(client: Client) -> None:
    oils(client)
    made = topped(client, heel="500 g")
    for amount, lot in (("600", NEW), ("700", OLD), ("800", made["lot"])):
        (row,) = [
            row
            for row in client.read(f"/v1/lots/{lot}/top-ups")["data"]
            if row["corrected_by"] is None
        ]
        made = corrected(client, {**row, "lot": lot}, replaces={"heel": f"{amount} g"})
        assert made["parts"][0]["amount"]["value"] == amount
