"""Materials and figures through HTTP."""

from typing import Any, get_args

import pytest

from service.science.bench_cautions import families
from service.workshop.materials.bodies import Family
from tests.conftest import Client

OIL = {
    "code": "OIL-LIN",
    "kind": "ingredient",
    "name": "linseed oil, refined",
    "family": "drying-oil",
    "cas": "8001-26-1",
    "autoxidising": True,
    "figures": {
        "density": {"value": "0.930 kg/l", "basis": "handbook", "source": "an invented table"}
    },
}


def test_a_material_comes_back_as_it_was_made(client: Client) -> None:
    made = client.made("/v1/materials", OIL)
    assert made["assumed"] == {"lots_start_as": "released", "lot_prefix": "OILLIN"}
    shown = client.read("/v1/materials/oil-lin")
    assert shown["figures"] == [
        {
            "value": "0.930",
            "unit": "kg/l",
            "basis": "handbook",
            "note": "density",
            "name": "density",
            "label": "Density",
        }
    ]
    assert shown["notes"]["density"]["table"] == "an invented table"


def test_a_code_is_never_used_twice(client: Client) -> None:
    client.made("/v1/materials", OIL)
    answer = client.post("/v1/materials", OIL)
    assert answer.status_code == 409
    assert answer.json()["type"] == "/problems/code-taken"


@pytest.mark.parametrize(
    ("figure", "code"),
    [
        ({"value": "0.930 kg", "basis": "measured", "method": "x"}, "wrong-dimension"),
        ({"value": "0,930 kg/l", "basis": "measured", "method": "x"}, "number-malformed"),
        ({"value": "0.930", "basis": "measured", "method": "x"}, "unit-unknown"),
        ({"value": "0.930 kg/l", "basis": "measured"}, "evidence-missing"),
        ({"value": "0.930 kg/l"}, "missing"),
        ({"value": "99 kg/l", "basis": "measured", "method": "x"}, "out-of-range"),
    ],
)
def test_a_bad_figure_is_refused_with_its_place(
    client: Client, figure: dict[str, str], code: str
) -> None:
    answer = client.post("/v1/materials", {**OIL, "figures": {"density": figure}})
    assert answer.status_code == 422, answer.text
    fault = answer.json()["errors"][0]
    assert fault["pointer"].startswith("#/figures/density")
    assert fault["code"] == code, fault


@pytest.mark.parametrize(
    ("more", "pointer"),
    [
        ({"metal": "Zn", "formula": "CuSO4.5H2O"}, "#/metal"),
        ({"figures": {"non_volatile": "90 %", "water": "50 %"}}, "#/figures"),
        ({"figures": {"water": "60 %", "exempt": "100 %"}}, "#/figures"),
    ],
)
def test_facts_of_one_material_that_do_not_fit_together_are_refused(
    client: Client, more: dict[str, Any], pointer: str
) -> None:
    told = {"basis": "handbook", "source": "an invented table"}
    if "figures" in more:
        figures = {name: {"value": value, **told} for name, value in more["figures"].items()}
        more = {"figures": figures}
    answer = client.post("/v1/materials", {"code": "ODD-ONE", "kind": "ingredient", **more})
    (fault,) = answer.json()["errors"]
    assert (answer.status_code, fault["pointer"], fault["code"]) == (422, pointer, "does-not-fit")


def test_the_families_are_those_that_the_cautions_know() -> None:
    assert get_args(Family) == families()
