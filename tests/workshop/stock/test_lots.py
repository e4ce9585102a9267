"""Lots looked up as a tired person types them."""

import pytest

from service.store.session import Store
from service.workshop.stock import actions, queries
from service.workshop.stock.actions import lettered_number
from service.workshop.stock.rules import QualityFixed
from tests.client import Client, system
from tests.makers.stock import made_lot, received

SPAR = "SPAR-2611-07-L"


@pytest.fixture
def spar(client: Client) -> str:
    return received(client, "SPAR", lot=SPAR)


@pytest.mark.parametrize(
    "typed", ["spar-2611-07-l", "SPAR 2611 07 L", "spar2611.07l", "Spar_2611–07—L"]
)
def test_a_number_is_found_however_it_is_typed(client: Client, spar: str, typed: str) -> None:
    assert client.read(f"/v1/lots/{typed}")["lot"] == spar


@pytest.mark.parametrize("typed", ["SPAR-2611-01-L", "SPAR-2611-70-L", "spar 2611 07 k"])
def test_a_typing_mistake_is_told_with_the_lot_that_was_meant(
    client: Client, spar: str, typed: str
) -> None:
    problem = client.get(f"/v1/lots/{typed}").json()
    assert problem["type"] == "/problems/lot-mistyped"
    assert problem["status"] == 404
    assert problem["did_you_mean"] == [spar]


@pytest.mark.parametrize("typed", ["SPAR-2611-07", "SPAR-2611-7-L", "SPAR-2611-077-L"])
def test_a_character_left_out_or_too_many_is_told_too(
    client: Client, spar: str, typed: str
) -> None:
    problem = client.get(f"/v1/lots/{typed}").json()
    assert (problem["status"], problem["did_you_mean"]) == (404, [spar])


def test_at_most_three_lots_are_meant(client: Client) -> None:
    for letter in "ABCDE":
        received(client, lot=f"KETTLE-{letter}")
    problem = client.get("/v1/lots/KETTLE-X").json()
    assert problem["type"] == "/problems/lot-unknown"
    assert len(problem["did_you_mean"]) == 3


@pytest.mark.parametrize("typed", ["ROSIN-2611-01-Z9", "%00", "löt", "' or 1=1 --", "x" * 300])
def test_a_number_that_nobody_bears_is_unknown(client: Client, typed: str) -> None:
    answer = client.get(f"/v1/lots/{typed}")
    assert answer.status_code in {400, 404}, answer.text


def test_a_sound_number_of_no_lot_is_unknown(client: Client) -> None:
    assert client.get(f"/v1/lots/{SPAR}").json()["type"] == "/problems/lot-unknown"


def test_a_lot_in_a_body_comes_with_a_remedy(client: Client, spar: str) -> None:
    body = {"lot": "SPAR-2611-01-L", "cause": "scrap", "amount": "1 g", "reason": "skin"}
    problem = client.post("/v1/movements", body).json()
    assert problem["errors"][0]["pointer"] == "#/lot"
    send = problem["errors"][0]["remedies"][0]["send"]
    assert client.made("/v1/movements", {**body, **send})["lot"] == spar


def test_lots_are_listed_by_what_is_asked(client: Client, spar: str) -> None:
    oil = received(client, supplier_lot="drum 7")
    assert [row["lot"] for row in client.read("/v1/lots?material=SPAR")["data"]] == [spar]
    assert [row["lot"] for row in client.read("/v1/lots?q=drum")["data"]] == [oil]
    assert len(client.read("/v1/lots?kind=received&quality=released")["data"]) == 2
    assert client.read("/v1/lots?kind=packed")["data"] == []


def test_a_measured_constant_of_a_lot_stands_before_its_materials(client: Client) -> None:
    oil = received(client)
    figure = {"property": "density", "value": "0.931 kg/l", "basis": "measured", "method": "x"}
    client.made("/v1/materials/OIL-LIN/figures", {**figure, "value": "0.93 kg/l"})
    before = client.read(f"/v1/lots/{oil}")["figures"]
    made = client.made(f"/v1/lots/{oil}/figures", figure)
    after = client.read(f"/v1/lots/{oil}/figures")["figures"]
    assert (before[0]["value"], before[0]["of"]) == ("0.93", "material")
    assert (after[0]["value"], after[0]["of"]) == ("0.931", "lot")
    assert (made["subject_kind"], made["subject"]) == ("lot", oil)


def test_the_lot_that_expires_first_is_drawn_first(client: Client, store: Store) -> None:
    lasting = received(client)
    later = received(client, expires_on="2198-01-01")
    sooner = received(client, expires_on="2197-01-01")
    received(client, expires_on="2020-01-01")
    with store.reading(system()) as session:
        found = [each.lot.number for each in queries.open_lots(session, "OIL-LIN")]
        newest = queries.lots_of_material(session, "OIL-LIN", "received")
    assert found == [sooner, later, lasting]
    assert [row.number for row in newest][1:] == [sooner, later, lasting]


def test_a_fill_adds_the_next_letter(client: Client, store: Store, spar: str) -> None:
    with store.reading(system()) as session:
        bulk = queries.lot(session, spar)
    with store.writing(system()) as session:
        first = lettered_number(session, bulk, bulk.created_at.date())
    made_lot(store, first, "SPAR", {spar: 1000}, amount=4, kind="packed")
    with store.writing(system()) as session:
        second = lettered_number(session, bulk, bulk.created_at.date())
    # check characters by python-stdnum 2.2, mod_37_36
    assert (first, second) == ("SPAR-2611-07A-M", "SPAR-2611-07B-K")


def test_a_rejected_lot_stays_rejected(client: Client, store: Store, spar: str) -> None:
    with store.writing(system()) as session:
        row = queries.lot(session, spar)
        actions.set_quality(session, row, "rejected")
        with pytest.raises(QualityFixed):
            actions.set_quality(session, row, "released")
    assert client.read(f"/v1/lots/{spar}")["quality"] == "rejected"
