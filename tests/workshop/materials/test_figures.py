"""The figures that sums read: of many materials at once, and of what kinds."""

from typing import Any

import pytest
from sqlalchemy import event

from service.store.session import ReadSession, Store
from service.workshop.materials.actions import record_figure
from service.workshop.materials.bodies import FigureIn
from service.workshop.materials.queries import figure, figures_of
from service.workshop.materials.rules import properties
from tests.client import Client, system
from tests.makers import materials

LOTS = {"OIL-A": "A-2611-001", "OIL-C": "C-2611-001"}
CODES = ["OIL-A", "OIL-B", "OIL-C", "OIL-D"]


def of_lot(store: Store, lot: str, name: str, value: str) -> None:
    body = FigureIn(property=name, value=value, basis="declared", source="an invented certificate")
    with store.writing(system()) as session:
        record_figure(session, ("lot", lot), body)


@pytest.fixture
def many(client: Client, store: Store) -> Store:
    """Four oils, lots of two of them, and figures replaced, corrected and voided."""
    for code in CODES:
        materials.material(client, code)
    for code in CODES[:3]:
        materials.figure(client, code, "density", "0.92 kg/l")
        materials.figure(client, code, "water", "0.1 %", happened_at="2026-01-01T00:00:00Z")
        materials.figure(client, code, "water", "0.2 %", happened_at="2025-01-01T00:00:00Z")
    wrong = materials.figure(client, "OIL-B", "acid_value", "900 mg KOH/g")
    new = {"value": "0.9 mg KOH/g", **materials.TABLE}
    client.made(f"/v1/figures/{wrong}/corrections", {"replaces": new, "reason": "a slip"})
    gone = materials.figure(client, "OIL-B", "iodine_value", "300 g I2/100 g")
    client.made(f"/v1/figures/{gone}/corrections", {"void": True, "reason": "another oil"})
    of_lot(store, "A-2611-001", "density", "0.931 kg/l")
    of_lot(store, "A-2611-001", "density", "0.932 kg/l")
    of_lot(store, "A-2611-002", "density", "0.940 kg/l")
    of_lot(store, "C-2611-001", "acid_value", "3 mg KOH/g")
    return store


def one_by_one(session: ReadSession) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for code in CODES:
        for name in properties():
            row = figure(session, name, ("lot", LOTS.get(code)), ("material", code))
            found.setdefault(code, {}).update({} if row is None else {name: row.number})
    return found


def test_all_figures_at_once_are_those_looked_up_one_by_one(many: Store) -> None:
    with many.reading(system()) as session:
        at_once = figures_of(session, CODES, LOTS)
        numbers = {
            code: {name: row.number for name, row in known.items()}
            for code, known in at_once.items()
        }
        assert numbers == one_by_one(session)
    assert str(at_once["OIL-A"]["density"].value) == "0.932"
    assert str(at_once["OIL-A"]["water"].value) == "0.1"
    assert str(at_once["OIL-B"]["acid_value"].value) == "0.9"
    assert "iodine_value" not in at_once["OIL-B"]
    assert at_once["OIL-D"] == {}


def test_one_query_does_whatever_the_number_of_materials(many: Store) -> None:
    asked: list[str] = []
    event.listen(many.reader, "before_cursor_execute", lambda *given: asked.append(given[2]))
    with many.reading(system()) as session:
        figures_of(session, CODES * 10, LOTS)
    assert sum("figures" in statement for statement in asked) == 1


@pytest.mark.parametrize(
    ("name", "value", "fits"),
    [
        ("expansion", "0.67 kg/m3/K", True),
        ("expansion", "0.00067 g/ml/K", True),
        ("expansion", "0.05 kg/m3/K", False),
        ("expansion", "0.67 kg/m3", False),
        ("heat_capacity", "2000 J/kg/K", True),
        ("heat_capacity", "1.9 kJ/(kg·K)", True),
        ("heat_capacity", "6 kJ/kg/K", False),
        ("ethanol_strength", "96 % v/v", True),
        ("ethanol_strength", "96 %", False),
        ("ethanol_strength", "101 % vol", False),
        ("melting_point", "63 °C", True),
        ("loss", "-16 %", True),
        ("loss", "99.5 %", False),
    ],
)
def test_what_the_sums_ask_of_a_material_can_be_stated(
    client: Client, name: str, value: str, fits: bool
) -> None:
    materials.material(client, "OIL-A")
    body = {"property": name, "value": value, **materials.TABLE}
    assert client.post("/v1/materials/OIL-A/figures", body).status_code == (201 if fits else 422)


def test_a_versions_number_has_room_as_a_figures_subject(client: Client, store: Store) -> None:
    body = FigureIn(property="loss", value="4.1 %", basis="measured", method="weighed, two batches")
    with store.writing(system()) as session:
        row = record_figure(session, ("version", "A-RECIPE-OF-20-CHARS/123456789"), body)
        assert len(row.subject) == 30
    assert client.read("/v1/figures?subject_kind=version")["data"][0]["value"] == "4.1"


def test_a_drier_says_which_metal_its_content_is_of(client: Client) -> None:
    drier = materials.material(client, "DRY-X", family="drier", metal="Co")
    assert drier["metal"] == "Co"
    assert client.patch("/v1/materials/DRY-X", {"metal": "Zr"}).json()["metal"] == "Zr"
    assert client.patch("/v1/materials/DRY-X", {"metal": None}).json()["metal"] is None
    for metal in ("Au", "co", "X"):
        answer = client.patch("/v1/materials/DRY-X", {"metal": metal})
        assert answer.json()["errors"][0]["code"] == "metal-unknown"
        assert "Mn" in answer.json()["errors"][0]["hint"]


@pytest.mark.parametrize("basis", ["declared", "measured", "calculated", "handbook"])
def test_a_viscosity_is_recorded_once_its_temperature_is_said(client: Client, basis: str) -> None:
    materials.material(client, "OIL-A")
    path = "/v1/materials/OIL-A/figures"
    how = {"basis": basis, "source": "an invented table", "method": "rotating spindle"}
    body = {"property": "viscosity", "value": "60 mPa.s", **how}
    refused = client.post(path, body)
    assert (refused.status_code, refused.json()["errors"][0]["code"]) == (422, "evidence-missing")
    assert '"temperature"' in refused.json()["errors"][0]["hint"]
    made = client.made(path, {**body, "temperature": "25 °C"})
    assert made["temperature"] == {"value": "25", "unit": "°C"}
    correction = {"replaces": {"value": "61 mPa.s", **how}, "reason": "misread"}
    again = client.post(f"/v1/figures/{made['figure']}/corrections", correction)
    assert (again.status_code, again.json()["errors"][0]["code"]) == (422, "evidence-missing")
