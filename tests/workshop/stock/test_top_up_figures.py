"""Figures of a mixture: by a rule of mixing, else unknown and said so."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers.stock import goods, received
from tests.makers.top_ups import NEW, OLD, declared, oils, topped


def two(name: str, old: Any, new: Any) -> dict[str, Any]:
    """Both lots with a figure of one property; None where a lot has none."""
    lots = {"old": old, "new": new}
    return {lot: {"figures": {name: value}} for lot, value in lots.items() if value is not None}


def figures(made: Any) -> dict[str, tuple[str, str]]:
    return {row["name"]: (row["value"], row["basis"]) for row in made["figures"]}


@pytest.mark.parametrize(
    ("name", "old", "new", "expected"),
    [
        # (2 x 4.9 + 5 x 1.4) / 7 = 2.4, by hand
        ("acid_value", "4.9 mg KOH/g", "1.4 mg KOH/g", "2.4"),
        ("iodine_value", "175 g I2/100 g", "189 g I2/100 g", "185"),
        ("saponification_value", "190 mg KOH/g", "197 mg KOH/g", "195"),
        ("non_volatile", "99.3 %", "100 %", "99.8"),
        ("water", "0.7 %", "0 %", "0.2"),
        ("exempt", "70 %", "0 %", "20"),
        # 4.2 kg over 1.2 / 0.96 + 3 / 0.93 = 4.4758 l, by hand
        ("density", "0.960 kg/l", "0.930 kg/l", "0.938"),
        ("density", "960 kg/m3", "0.93 kg/l", "0.94"),
    ],
)
def test_a_mean_by_mass_or_added_volumes_gives_it(
    client: Client, name: str, old: str, new: str, expected: str
) -> None:
    oils(client, **two(name, declared(old), declared(new)))
    made = topped(client)
    assert figures(made) == {name: (expected, "calculated")}
    assert made["not_carried"] == []
    shown = client.read(f"/v1/lots/{made['lot']}/figures")
    assert [(row["name"], row["of"]) for row in shown["figures"]] == [(name, "lot")]
    source = made["notes"][name]["source"]
    assert OLD in source
    assert NEW in source


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("flow_time", {"value": "62 s", "method": "the workshop's cup"}),
        ("flash_point", {"value": "41 °C", "method": "closed cup"}),
        ("refractive_index", {"value": "1.48"}),
        ("viscosity", {"value": "60 mPa.s", "temperature": "25 °C"}),
        ("gloss", {"value": "80", "unit": "GU", "method": "60°"}),
    ],
)
def test_what_no_mean_gives_is_not_carried_and_said(
    client: Client, name: str, value: dict[str, Any]
) -> None:
    figure = declared(**value)
    oils(client, **two(name, figure, figure))
    made = topped(client)
    assert figures(made) == {}
    (lacking,) = made["not_carried"]
    assert (lacking["property"], lacking["instead"]) == (name, "measure the mixture")
    assert client.read(f"/v1/lots/{made['lot']}/figures")["figures"] == []


def test_what_one_of_them_lacks_is_not_known_of_the_whole(client: Client) -> None:
    oils(client, **two("acid_value", declared("4 mg KOH/g"), None))
    made = topped(client)
    assert made["figures"] == []
    assert made["not_carried"][0]["why"] == f"it is not known of {NEW}"


def test_a_figure_of_the_material_stands_in_for_a_lot_without_one(client: Client) -> None:
    handbook = {"value": "0.930 kg/l", "basis": "handbook", "source": "an invented table"}
    goods(client, "OIL-LIN", figures={"density": handbook})
    oils(client, **two("density", declared("0.960 kg/l"), None))
    assert figures(topped(client)) == {"density": ("0.938", "calculated")}


def test_what_holds_for_the_material_needs_no_figure_of_the_lot(client: Client) -> None:
    handbook = {"value": "0.930 kg/l", "basis": "handbook", "source": "an invented table"}
    flash = {**handbook, "value": "222 °C", "method": "open cup"}
    goods(client, "OIL-LIN", figures={"density": handbook, "flash_point": flash})
    oils(client)
    made = topped(client)
    assert (made["figures"], made["not_carried"]) == ([], [])


def test_where_the_materials_figure_stands_again_that_is_said(client: Client) -> None:
    flash = {"value": "222 °C", "method": "open cup", "basis": "handbook", "source": "a table"}
    goods(client, "OIL-LIN", figures={"flash_point": flash})
    oils(client, **two("flash_point", declared("180 °C", method="open cup"), None))
    (lacking,) = topped(client)["not_carried"]
    assert lacking["why"].endswith("; its material's stands")


def test_densities_of_two_temperatures_are_not_added_up(client: Client) -> None:
    warm = declared("0.92 kg/l", temperature="40 °C")
    cool = declared("0.93 kg/l", temperature="20 °C")
    oils(client, **two("density", warm, cool))
    made = topped(client)
    assert made["figures"] == []
    assert "different temperatures" in made["not_carried"][0]["why"]


def test_a_common_temperature_goes_with_the_density(client: Client) -> None:
    cool = declared("0.93 kg/l", temperature="20 °C")
    oils(client, **two("density", cool, cool))
    note = topped(client)["notes"]["density"]
    assert (note["temperature"], note["basis"]) == ("20 °C", "calculated")


def test_spirit_and_what_is_in_it_shrink_so_their_density_is_not_reckoned(client: Client) -> None:
    strong = {"density": declared("0.81 kg/l"), "ethanol_strength": declared("96 %vol")}
    oils(client, old={"figures": strong}, new={"figures": {"density": declared("1 kg/l")}})
    made = topped(client)
    assert made["figures"] == []
    whys = {row["property"]: row["why"] for row in made["not_carried"]}
    assert "shrink" in whys["density"]


def test_metals_of_two_kinds_are_not_mixed_into_one_figure(client: Client) -> None:
    lots = []
    for code, metal in (("DRIER-CO", "Co"), ("DRIER-ZR", "Zr")):
        goods(client, code, metal=metal)
        metal_content = {"metal_content": declared("6 %")}
        lots.append(received(client, code, "1 kg", figures=metal_content))
    poured = {"with": [{"lot": lots[1], "amount": "1 kg"}], "material": "DRIER-CO"}
    made = client.made(f"/v1/lots/{lots[0]}/top-ups", poured)
    assert made["not_carried"][0]["why"] == "its parts hold different metals"


def test_what_lies_outside_a_rule_is_not_reckoned_and_the_rule_says_why(client: Client) -> None:
    heavy = declared("5.6 kg/l")
    oils(client, **two("density", heavy, declared("5.5 kg/l")))
    made = topped(client)
    assert made["figures"] == []
    (lacking,) = made["not_carried"]
    assert lacking["property"] == "density"
    assert "kg/l" in lacking["why"]


def test_the_figures_of_many_parts_are_named_as_far_as_there_is_room(client: Client) -> None:
    goods(client, "OIL-LIN", lot_prefix="LIN")
    acid = {"figures": {"acid_value": declared("4 mg KOH/g")}}
    lots = [received(client, amount="1 kg", lot=f"LONGNUMBER-{n}", **acid) for n in range(9)]
    poured = {"with": [{"lot": lot, "amount": "1 kg"} for lot in lots[1:]]}
    made = client.made(f"/v1/lots/{lots[0]}/top-ups", poured)
    source = made["notes"]["acid_value"]["source"]
    assert len(source) == 200
    assert source.endswith("…")
