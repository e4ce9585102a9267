"""Labels through HTTP: drawn up, frozen, counted."""

import pytest

from service.store.session import Store
from tests.client import Client
from tests.makers import jars
from tests.makers.panels import merged, remedies

NEVER = ("safe", "non-toxic", "not hazardous", "compliant", "approved")


def test_the_draft_prints_what_is_known_and_assesses_no_hazard(
    client: Client, store: Store
) -> None:
    number = jars.packed(client, store)
    draft = client.read(f"/v1/lots/{number}/labels/draft?market=eu&language=en")
    face = draft["print"]
    assert (face["name"], face["net"], face["lot"]) == ("Spar varnish, long oil", "250 ml", number)
    assert (face["made_on"], face["best_before"]) == ("2026-11-25", "2028-11")
    assert face["after_opening"] == "12 months"
    assert face["qr"] == f"HTTPS://LOTS.EXAMPLE.ORG/L/{number}"
    assert face["supplier"] == [jars.CARD[name] for name in ("name", "address", "telephone")]
    assert (face["signal"], face["pictograms"], face["hazard"]) == (None, [], [])
    assert draft["why"]["hazard_classes"]["finding"] == "not_assessed"
    assert draft["undecided"] == []


def test_every_caution_names_the_rule_and_the_ingredients_that_called_for_it(
    client: Client, store: Store
) -> None:
    number = jars.packed(client, store)
    draft = client.read(f"/v1/lots/{number}/labels/draft")
    assert [mark for mark, _ in draft["print"]["supplemental"]] == ["RAGS", "SOLVENT"]
    assert draft["why"]["RAGS"]["because"] == ["OIL-LIN", "OIL-TUNG"]
    assert draft["why"]["SOLVENT"]["because"] == ["WSPIRIT"]
    # Regulation (EC) No 1272/2008, Annex IV, P102, consolidated text of 1 September 2025.
    assert draft["print"]["precaution"] == [["P102", "Keep out of reach of children."]]


@pytest.mark.parametrize(
    ("disclosure", "contains"),
    [
        ("nothing", None),
        ("names", "WSPIRIT; OIL-LIN; ROSIN; OIL-TUNG; ZNO"),
        (
            "percent-ranges",
            "WSPIRIT, 25 to 50 %; OIL-LIN, 10 to 25 %; ROSIN, 10 to 25 %; "
            "OIL-TUNG, 10 to 25 %; ZNO, under 1 %",
        ),
    ],
)
def test_contents_stand_by_falling_mass_as_far_as_the_product_tells(
    client: Client, store: Store, disclosure: str, contains: str | None
) -> None:
    number = jars.packed(client, store, disclosure=disclosure)
    assert client.read(f"/v1/lots/{number}/labels/draft")["print"]["contains"] == contains


def test_what_the_card_lacks_is_listed_and_never_invented(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    client.patch("/v1/workshop", {"address": None, "telephone": None})
    draft = client.read(f"/v1/lots/{number}/labels/draft")
    gaps = {gap["element"]: gap["concluded_by"] for gap in draft["undecided"]}
    assert set(gaps) == {"supplier.address", "supplier.telephone"}
    assert set(gaps.values()) == {"PATCH /v1/workshop"}
    assert draft["print"]["supplier"] == [jars.CARD["name"]]


def test_a_language_without_words_leaves_gaps(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    draft = client.read(f"/v1/lots/{number}/labels/draft?language=de")
    assert [gap["element"] for gap in draft["undecided"]] == ["name", "supplemental"]
    assert draft["print"]["precaution"][0][1] == "Darf nicht in die Hände von Kindern gelangen."


def test_no_market_is_guessed_and_each_remedy_goes(client: Client, store: Store) -> None:
    jars.workshop(client, markets=[])
    number = jars.filled(client, _tested(client, store))
    answer = client.post(f"/v1/lots/{number}/labels", {"by": "MB"})
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/market-missing")
    for way in remedies(answer):
        client.made(f"/v1/lots/{number}/labels", merged({"by": "MB"}, way["send"]))


def _tested(client: Client, store: Store) -> str:
    bulk = jars.kettle(client, store)
    jars.tried(client, bulk)
    return bulk


def test_a_frozen_label_stays_and_the_draft_says_where_it_differs(
    client: Client, store: Store
) -> None:
    number = jars.packed(client, store)
    made = client.made(f"/v1/lots/{number}/labels", {"by": "MB"})
    assert made["assumed"] == {"market": "eu", "language": "en"}
    client.patch("/v1/workshop", {"telephone": "+44 1632 960999"})
    kept = client.read(f"/v1/lots/{number}/labels/1")
    assert kept["print"] == made["print"]
    assert kept["sha256"] == made["sha256"]
    assert client.read(f"/v1/lots/{number}/labels/draft")["differs_from_frozen"] == ["supplier"]
    assert client.made(f"/v1/lots/{number}/labels", {})["revision"] == 2
    latest = client.read(f"/v1/lots/{number}/labels/latest")
    assert (latest["revision"], latest["frozen"]) == (2, [1, 2])


def test_only_packed_lots_have_labels(client: Client, store: Store) -> None:
    jars.workshop(client)
    bulk = jars.kettle(client, store)
    answer = client.get(f"/v1/lots/{bulk}/labels/draft")
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/not-packed")


def test_nothing_is_counted_before_it_is_frozen(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    count = {"printed": 8, "used": 8, "spoiled": 0}
    answer = client.post(f"/v1/lots/{number}/labellings", count)
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/label-not-frozen")
    assert f"POST /v1/lots/{number}/labels" in answer.json()["detail"]
    client.made(f"/v1/lots/{number}/labels", {"by": "MB"})
    wrong = {**count, "revision": 7}
    for way in remedies(client.post(f"/v1/lots/{number}/labellings", wrong)):
        client.made(f"/v1/lots/{number}/labellings", merged(wrong, way["send"]))


def test_a_count_that_adds_up_draws_the_labels(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    client.made(f"/v1/lots/{number}/labels", {"by": "MB"})
    body = {"printed": 10, "used": 8, "spoiled": 2}
    made = client.made(f"/v1/lots/{number}/labellings", body)
    assert made["flags"] == []
    assert made["assumed"]["revision"] == 1
    blank = made["assumed"]["label_lot"]
    assert client.read(f"/v1/lots/{blank}")["left"] == 90
    listed = client.read(f"/v1/lots/{number}/labellings")["data"]
    assert [(row["printed"], row["label_lot"]) for row in listed] == [(10, blank)]


@pytest.mark.parametrize(
    ("body", "codes"),
    [
        ({"printed": 10, "used": 8, "spoiled": 1}, ["labels-unaccounted"]),
        ({"printed": 9, "used": 7, "spoiled": 2}, ["labels-not-jars"]),
        ({"printed": 200, "used": 8, "spoiled": 192}, ["stock-negative"]),
    ],
)
def test_a_count_that_does_not_add_up_is_kept_and_flagged(
    client: Client, store: Store, body: dict[str, int], codes: list[str]
) -> None:
    number = jars.packed(client, store)
    client.made(f"/v1/lots/{number}/labels", {"by": "MB"})
    made = client.made(f"/v1/lots/{number}/labellings", body)
    assert [flag["code"] for flag in made["flags"]] == codes
    assert all(flag["opens"] for flag in made["flags"])


def test_all_print_runs_together_are_set_against_the_jars(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    client.made(f"/v1/lots/{number}/labels", {"by": "MB"})
    run = {"printed": 8, "used": 8, "spoiled": 0}
    assert client.made(f"/v1/lots/{number}/labellings", run)["flags"] == []
    flags = client.made(f"/v1/lots/{number}/labellings", run)["flags"]
    assert [flag["text"] for flag in flags] == ["16 labels were used on 8 jars."]


def test_a_bulk_lot_is_no_lot_of_labels(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    client.made(f"/v1/lots/{number}/labels", {"by": "MB"})
    body = {"printed": 8, "used": 8, "spoiled": 0, "label_lot": jars.BULK}
    answer = client.post(f"/v1/lots/{number}/labellings", body)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["code"] == "not-a-label"


def test_a_label_never_soothes(client: Client, store: Store) -> None:
    number = jars.packed(client, store, disclosure="names")
    text = client.get(f"/v1/lots/{number}/labels/draft").text.casefold()
    assert not [word for word in NEVER if word in text]
