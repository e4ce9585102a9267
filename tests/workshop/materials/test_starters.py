"""The starter materials: all load, and each figure says where it is from."""

import pytest

from service.exchange.actions import starters
from service.science.formulas import mass_of_formula
from service.workshop.materials.bodies import MaterialIn
from tests.client import Client

ROWS = starters("materials")


def test_the_starters_load_and_stand_with_their_figures(client: Client) -> None:
    made = client.made("/v1/starters", {"take": ["materials"]})["made"]["materials"]
    assert made == [row.code for row in ROWS]
    tung = client.read("/v1/materials/OIL-TUNG")
    assert {"density", "expansion", "heat_capacity"} <= {each["name"] for each in tung["figures"]}
    assert tung["hazards"] is None
    assert client.read("/v1/materials/WATER")["hazards"] == []


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.code)
def test_a_starter_figure_says_whether_it_was_read_or_remembered(row: MaterialIn) -> None:
    for name, figure in row.figures.items():
        assert figure.basis == "handbook"
        assert figure.source.startswith(("read: ", "from memory: ")), name
        assert name != "density" or figure.temperature is not None
        assert name != "assay"


# Molar masses by molmass 2026.1 and the labels of reagent bottles, in g/mol.
@pytest.mark.parametrize(
    ("code", "molar"),
    [
        ("ZNSO4", 287.55),
        ("FESO4", 278.01),
        ("ALUM", 474.39),
        ("CACL2", 147.01),
        ("MNAC", 245.09),
        ("SODA-10", 286.14),
        ("DSP-12", 358.14),
        ("MSP-2", 156.01),
        ("HISTIDINE", 209.63),
        ("UREA", 60.06),
    ],
)
def test_a_starter_formula_counts_its_water(code: str, molar: float) -> None:
    formula = next(row.formula for row in ROWS if row.code == code)
    assert float(mass_of_formula(formula)) == pytest.approx(molar, abs=0.04)
