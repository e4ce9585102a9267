"""Hazards of a material: none, some, or not known."""

from typing import Any

import pytest

from service.store.session import Store
from service.workshop.materials.queries import hazards_of
from tests.client import Client, count, system
from tests.makers.materials import SHEET, SOLVENT, material


def faults_of(client: Client, *hazards: dict[str, Any]) -> list[dict[str, Any]]:
    answer = client.post("/v1/materials", {**SOLVENT, "hazards": list(hazards)})
    assert answer.status_code == 422, answer.text
    found: list[dict[str, Any]] = answer.json()["errors"]
    return found


def test_hazards_come_back_as_they_were_sent(client: Client) -> None:
    shown = client.made("/v1/materials", SOLVENT)["hazards"]
    assert [each["code"] for each in shown] == ["H226", "H410", "H319"]
    assert shown[1]["m_factor"] == 10
    assert shown[2] == {
        "code": "H319",
        "category": None,
        "scl": {"value": "0.5", "unit": "%"},
        "m_factor": None,
        "notes": ["P", "10"],
        "basis": "declared",
        "source": "an invented data sheet",
        "dated": "2026-02-01",
    }
    assert client.read("/v1/materials?kind=ingredient")["data"][0]["hazards"] == shown


def test_none_and_not_known_are_two_things(client: Client) -> None:
    assert material(client, "OTHER-A")["hazards"] is None
    assert material(client, "OTHER-B", hazards=[])["hazards"] == []


def test_a_patch_replaces_the_list_as_a_whole(client: Client, store: Store) -> None:
    etag = client.get(f"/v1/materials/{client.made('/v1/materials', SOLVENT)['code']}").headers
    new = [{"code": "H225", **SHEET}]
    changed = client.patch("/v1/materials/THIN-X", {"hazards": new}, etag["ETag"])
    assert [each["code"] for each in changed.json()["hazards"]] == ["H225"]
    assert changed.headers["ETag"] != etag["ETag"]
    assert count(store, "hazards") == 1
    assert client.patch("/v1/materials/THIN-X", {"name": "thinner"}).json()["hazards"] != []
    assert client.patch("/v1/materials/THIN-X", {"hazards": []}).json()["hazards"] == []
    assert client.patch("/v1/materials/THIN-X", {"hazards": None}).json()["hazards"] is None
    assert count(store, "hazards") == 0


def test_a_change_of_the_same_list_still_makes_a_new_revision(client: Client) -> None:
    material(client, "OTHER-B", hazards=[])
    before = client.get("/v1/materials/OTHER-B").headers["ETag"]
    changed = client.patch("/v1/materials/OTHER-B", {"hazards": [{"code": "EUH066", **SHEET}]})
    assert changed.headers["ETag"] != before


def test_hazards_go_with_a_material_that_is_deleted(client: Client, store: Store) -> None:
    client.made("/v1/materials", SOLVENT)
    answer = client.request("DELETE", "/v1/materials/THIN-X", headers={"If-Match": "*"})
    assert answer.status_code == 200, answer.text
    assert len(answer.json()["hazards"]) == 3
    assert count(store, "hazards") == 0


@pytest.mark.parametrize(
    ("hazard", "place", "code"),
    [
        ({"code": "H999"}, "code", "hazard-unknown"),
        ({"code": "H300+H310"}, "code", "hazard-unknown"),
        ({"code": "EUH208"}, "code", "hazard-unknown"),
        ({"code": "H226", "category": "Flam. Liq. 2"}, "category", "category-mismatch"),
        ({"code": "EUH066", "category": "Flam. Liq. 2"}, "category", "category-mismatch"),
        ({"code": "H319", "scl": "101 %"}, "scl", "out-of-range"),
        ({"code": "H319", "scl": 0}, "scl", "out-of-range"),
        ({"code": "H400", "m_factor": 0}, "m_factor", "greater-than-equal"),
        ({"code": "H411", "m_factor": 1}, "m_factor", "m-factor-misplaced"),
        ({"code": "H226", "notes": ["13"]}, "notes/0", "string-pattern-mismatch"),
        ({"code": "H226", "basis": "measured"}, "basis", "literal-error"),
    ],
)
def test_a_hazard_that_cannot_be_is_refused_at_its_place(
    client: Client, hazard: dict[str, Any], place: str, code: str
) -> None:
    (fault,) = faults_of(client, {"code": "H225", **SHEET}, {**SHEET, **hazard})
    assert (fault["pointer"], fault["code"]) == (f"#/hazards/1/{place}", code)


def test_a_hazard_needs_its_source(client: Client) -> None:
    (fault,) = faults_of(client, {"code": "H225", "basis": "declared"})
    assert (fault["pointer"], fault["code"]) == ("#/hazards/0/source", "missing")


def test_a_statement_stands_once_unless_its_categories_differ(client: Client) -> None:
    first, second = {"code": "H314", "category": "Skin Corr. 1A"}, {"code": "H314"}
    (fault,) = faults_of(client, {**first, **SHEET}, {**second, **SHEET})
    assert (fault["pointer"], fault["code"]) == ("#/hazards/1/code", "hazard-twice")
    bands = [{**first, "scl": 5, **SHEET}, {**second, "category": "Skin Corr. 1B", **SHEET}]
    assert len(material(client, "LYE-X", hazards=bands)["hazards"]) == 2


def test_the_query_tells_some_from_none_and_from_not_known(client: Client, store: Store) -> None:
    client.made("/v1/materials", SOLVENT)
    material(client, "OTHER-A")
    material(client, "OTHER-B", hazards=[])
    with store.reading(system()) as session:
        found = hazards_of(session, ["THIN-X", "OTHER-A", "OTHER-B"])
    assert found["OTHER-A"] is None
    assert found["OTHER-B"] == []
    assert [each.code for each in found["THIN-X"] or ()] == ["H226", "H410", "H319"]
