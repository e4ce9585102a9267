"""What a version says of itself beside its lines, and what of it is frozen, through HTTP."""

import json
from typing import Any

import pytest

from service.office.documents._tables import Document
from service.office.documents.queries import latest
from service.store.session import Store
from tests.client import Client, system
from tests.makers import recipes
from tests.makers.recipes import RESINATE, refused

VERSIONS = "/v1/recipes/RESIN-ZN/versions"
LINES = {"lines": RESINATE["lines"]}
ACID = {"material": "ROSIN", "property": "acid_value", "from": "155 mg KOH/g", "to": "170 mg KOH/g"}


@pytest.fixture
def shop(client: Client) -> Client:
    """A recipe with one draft."""
    recipes.shelf(client)
    recipes.recipe(client, RESINATE, approved=False)
    return client


def test_a_later_version_says_why_and_where_it_came_from(shop: Client) -> None:
    first = recipes.version(shop, "RESIN-ZN")
    assert (first["why"], first["came_from"]) == (None, None)
    second = recipes.again(shop, "RESIN-ZN", LINES, why="less zinc")
    assert (second["why"], second["came_from"]) == ("less zinc", 1)
    assert second["assumed"]["came_from"] == 1
    third = shop.made(VERSIONS, {**LINES, "why": "back again", "came_from": 1})
    assert third["came_from"] == 1
    assert "came_from" not in third["assumed"]
    listed = shop.read(VERSIONS)["data"]
    assert [row["came_from"] for row in listed] == [1, 1, None]
    assert [row["why"] for row in listed] == ["back again", "less zinc", None]


@pytest.mark.parametrize(
    ("changes", "pointer", "code"),
    [
        ({"why": None}, "#/why", "why-missing"),
        ({"came_from": 7}, "#/came_from", "version-unknown"),
        ({"came_from": 0}, "#/came_from", "greater-than-equal"),
        ({"why": "x" * 601}, "#/why", "too-long"),
        ({"as_written": "x" * 8001}, "#/as_written", "too-long"),
        ({"labour": {"time": "4 h"}}, "#/labour/for", "missing"),
        ({"labour": {"time": "0 h", "for": "5 kg"}}, "#/labour/time", "out-of-range"),
        ({"labour": {"time": "4 h", "for": "5 l"}}, "#/labour/for", "wrong-dimension"),
        ({"proved": [{**ACID, "material": "OIL-LIN"}]}, "#/proved/0/material", "not-a-line"),
        ({"proved": [{**ACID, "property": "taste"}]}, "#/proved/0/property", "property-unknown"),
        ({"proved": [{**ACID, "from": "155 kg"}]}, "#/proved/0/from", "wrong-dimension"),
        ({"proved": [{**ACID, "to": "1550 mg KOH/g"}]}, "#/proved/0/to", "out-of-range"),
        ({"proved": [{**ACID, "to": "150 mg KOH/g"}]}, "#/proved/0/to", "band-reversed"),
        ({"proved": [ACID, ACID]}, "#/proved/1", "band-twice"),
    ],
)
def test_what_a_version_cannot_say_is_refused_at_its_place(
    shop: Client, changes: dict[str, Any], pointer: str, code: str
) -> None:
    fault = refused(shop, VERSIONS, {**LINES, "why": "a trial", **changes})["errors"][0]
    assert (fault["pointer"], fault["code"]) == (pointer, code), fault


def test_a_first_version_came_from_none(shop: Client) -> None:
    recipes.material(shop, "MIX-X", kind="finished")
    fault = refused(shop, "/v1/recipes", {"code": "MIX-X", **LINES, "came_from": 1})["errors"][0]
    assert (fault["pointer"], fault["code"]) == ("#/came_from", "version-unknown")


def test_what_an_old_page_says_is_kept_and_taken_as_reconstructed(shop: Client) -> None:
    page = "Take of rosin an hundred parts,\nof flowers of zinc five."
    made = recipes.again(shop, "RESIN-ZN", {**LINES, "as_written": page})
    assert made["assumed"]["reconstructed"] is True
    shown = recipes.version(shop, "RESIN-ZN", 2)
    assert (shown["as_written"], shown["reconstructed"]) == (page, True)
    own = recipes.again(shop, "RESIN-ZN", {**LINES, "as_written": page, "reconstructed": False})
    assert own["reconstructed"] is False
    assert "reconstructed" not in own["assumed"]
    assert recipes.version(shop, "RESIN-ZN", 1)["reconstructed"] is False


def test_labour_and_proved_bands_are_kept(shop: Client) -> None:
    body = {**LINES, "labour": {"time": "4 h", "for": "5 kg"}, "proved": [ACID]}
    recipes.again(shop, "RESIN-ZN", body)
    shown = recipes.version(shop, "RESIN-ZN", 2)
    assert shown["labour"] == {
        "time": {"value": "240", "unit": "min"},
        "for": {"value": "5000", "unit": "g"},
    }
    assert shown["proved"] == [
        {
            "material": "ROSIN",
            "property": "acid_value",
            "label": "Acid value",
            "from": {"value": "155", "unit": "mg KOH/g"},
            "to": {"value": "170", "unit": "mg KOH/g"},
        }
    ]


def test_a_frozen_version_says_which_figures_became_decided(client: Client) -> None:
    recipes.shelf(client)
    recipes.material(client, "OIL-WAL", family="drying-oil")
    recipes.material(client, "WAL-X", kind="finished")
    lines = [{"material": "ROSIN", "parts": 1}, {"material": "OIL-WAL", "parts": 1}]
    recipes.recipe(client, {"code": "WAL-X", "lines": lines})
    assert recipes.version(client, "WAL-X")["recalculated"] is None
    density = {"property": "density", "value": "0.926 kg/l", **recipes.TABLE}
    figure = client.made("/v1/materials/OIL-WAL/figures", density)["figure"]
    shown = recipes.version(client, "WAL-X")
    changed = {one["name"]: one for one in shown["recalculated"]["figures"]}
    assert changed["oil_length_us_gal"]["was"] is None
    # 1/0.926 ml/g of resin x 453.59237 / 3785.411784 x 100, by hand.
    assert changed["oil_length_us_gal"]["now"] == {"value": "12.9", "unit": "US gal/100 lb"}
    assert recipes.figure(shown, "oil_length_us_gal") is None
    client.made(f"/v1/figures/{figure}/corrections", {"void": True, "reason": "of another oil"})
    assert recipes.version(client, "WAL-X")["recalculated"] is None


def test_a_form_frozen_before_stages_were_kept_is_filled_from_its_rows(
    client: Client, store: Store
) -> None:
    recipes.spar(client)
    whole = recipes.version(client, "SPAR")
    with store.writing(system()) as session:
        document = latest(session, "recipe-version", "SPAR/1")
        assert document is not None
        session.delete(document)
        session.flush()
        session.add(Document(**{**document.model_dump(), "canonical": as_it_was(document)}))
    assert recipes.version(client, "SPAR") == whole


def as_it_was(document: Document) -> bytes:
    """The frozen content without what versions say since stages have rows of their own."""
    content = json.loads(document.canonical)
    for name in ("stages", "labour", "proved", "as_written", "why", "came_from", "reconstructed"):
        del content[name]
    for line in content["lines"]:
        del line["derive"], line["tolerance"], line["condition"]
    for step in content["steps"]:
        del step["ramp"]
    return json.dumps(content).encode()
