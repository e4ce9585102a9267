"""How the sums are asked over HTTP: by body, by address, as a cell, with and without a key."""

from pathlib import Path
from typing import Any

import pytest

from service.app import create_app
from service.settings import Settings
from service.store.session import Store
from tests.client import Client, key_for

CUP = "/v1/calculations/flow-cup"


def test_a_cell_gets_one_bare_number(visitor: Client) -> None:
    answer = visitor.get(CUP + "?cup=ISO2431-4&seconds=62&as=value")
    assert answer.headers["content-type"].startswith("text/plain")
    assert float(answer.text) == pytest.approx(1.37 * 62 - 200 / 62)


def test_the_document_says_how_the_figure_came_about(visitor: Client) -> None:
    found = visitor.read(CUP + "?cup=ISO2431-4&seconds=62")
    assert found["unit"] == "mm2/s"
    assert found["basis"] == "calculated"
    assert found["given"] == {"cup": "ISO2431-4", "seconds": {"value": "62", "unit": "s"}}
    assert found["source"]
    assert found["validity"]["seconds"].startswith("s, ")
    assert found["value"] == found["figures"][next(iter(found["figures"]))]["value"]


def test_another_figure_is_asked_by_its_name(visitor: Client) -> None:
    asked = "us_gal_per_100_lb=25&oil_density_kg_l=0.93&basis=as%20charged"
    path = f"/v1/calculations/oil-length-from-us-gallons?{asked}"
    assert visitor.get(path + "&as=value&figure=oil_percent").text.startswith("65.98")
    refused = visitor.get(path + "&as=value&figure=oil")
    assert refused.status_code == 422
    assert refused.json()["type"] == "/problems/answer-figure-unknown"
    assert "oil_percent" in refused.json()["errors"][0]["hint"]


def test_a_number_may_come_in_another_unit_with_its_unit(visitor: Client) -> None:
    body = {"us_gal_per_100_lb": 25, "oil_density_kg_l": "930 kg/m3", "basis": "as charged"}
    answer = visitor.post("/v1/calculations/oil-length-from-us-gallons", body).json()
    assert answer["given"]["oil_density_kg_l"] == {"value": "0.93", "unit": "kg/l"}


@pytest.mark.parametrize(
    ("query", "parameter", "word"),
    [
        ("cup=ISO2431-4&seconds=101", "seconds", "100"),
        ("cup=teacup&seconds=60", "cup", "ISO2431-4"),
        ("cup=ISO2431-4&seconds=soon", "seconds", ""),
        ("cup=ISO2431-4", "seconds", ""),
        ("cup=ISO2431-4&seconds=60 g", "seconds", "s"),
    ],
)
def test_a_refusal_is_a_real_4xx_that_names_the_input_and_its_limits(
    visitor: Client, query: str, parameter: str, word: str
) -> None:
    answer = visitor.get(f"{CUP}?{query}&as=value")
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["parameter"] == parameter
    assert word in f"{error['detail']} {error.get('hint')}"


def test_a_body_is_refused_at_its_pointer(visitor: Client) -> None:
    answer = visitor.post(CUP, {"cup": "ISO2431-4", "seconds": 5, "minutes": 1})
    assert [error["pointer"] for error in answer.json()["errors"]] == ["#/minutes"]
    answer = visitor.post(CUP, {"cup": "ISO2431-4", "seconds": 5})
    assert answer.json()["errors"][0]["pointer"] == "#/seconds"


def test_a_fault_inside_a_list_is_pointed_at(visitor: Client) -> None:
    body = {"oils": [{"mass_g": 500, "density_kg_l": 9}], "resins_g": [500], "basis": "as charged"}
    answer = visitor.post("/v1/calculations/oil-length", body)
    assert answer.json()["errors"][0]["pointer"] == "#/oils/0/density_kg_l"


def test_a_name_unknown_or_twice_in_the_address_is_refused(visitor: Client) -> None:
    assert visitor.get(CUP + "?cup=Zahn-2&seconds=30&second=30").status_code == 400
    assert visitor.get(CUP + "?cup=Zahn-2&seconds=30&seconds=31").status_code == 400


@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_mistyped_name_is_answered_with_the_nearest(visitor: Client, method: str) -> None:
    answer = visitor.request(method, "/v1/calculations/flow-cups")
    assert answer.status_code == 404
    assert "flow-cup" in answer.json()["did_you_mean"]


def test_the_list_tells_inputs_units_ranges_choices_and_sources(visitor: Client) -> None:
    found = {one["name"]: one for one in visitor.read("/v1/calculations")["data"]}
    cup, seconds = found["flow-cup"]["inputs"][:2]
    assert "ISO2431-4" in cup["choices"]
    assert (seconds["unit"], seconds["required"]) == ("s", True)
    assert all(one["source"] and one["purpose"] for one in found.values())
    fields = found["oil-length"]["inputs"][0]["fields"]
    assert [each["name"] for each in fields][:2] == ["mass_g", "density_kg_l"]


def test_an_unchanged_answer_is_not_sent_twice(visitor: Client) -> None:
    path = CUP + "?cup=Zahn-2&seconds=30"
    etag = visitor.get(path).headers["etag"]
    assert visitor.get(path, headers={"If-None-Match": etag}).status_code == 304


def test_a_key_that_may_read_is_needed_unless_the_operator_opens_them(
    app: Any, store: Store
) -> None:
    path = CUP + "?cup=Zahn-2&seconds=30"
    assert Client(app, None).get(path).status_code == 401
    assert Client(app, key_for(store, ["record"])).get(path).status_code == 403
    assert Client(app, key_for(store, ["read"])).get(path).status_code == 200
    assert Client(app, None).get("/v1/calculations").status_code == 401


def test_calls_beyond_the_share_of_a_minute_are_told_when_to_come_back() -> None:
    settings = Settings(database_url="sqlite://", open_calculations=True, calculations_per_minute=2)
    visitor = Client(create_app(settings), None)
    path = CUP + "?cup=Zahn-2&seconds=30"
    left = [visitor.get(path).headers["ratelimit"] for _ in range(2)]
    assert left == ['"calculations";r=1;t=30', '"calculations";r=0;t=60']
    refused = visitor.get(path)
    assert refused.status_code == 429
    assert refused.json()["type"] == "/problems/too-many"
    assert int(refused.headers["retry-after"]) >= 1


def test_sums_look_at_no_database(tmp_path: Path) -> None:
    file = tmp_path / "none.sqlite"
    app = create_app(Settings(database_url=f"sqlite:///{file}", open_calculations=True))
    assert Client(app, None).get(CUP + "?cup=Zahn-2&seconds=30").status_code == 200
    assert not file.exists()


@pytest.mark.parametrize(
    ("path", "figure"),
    [
        ("reagent-by-volume?reagent=tea&volume_ml=250&figure=ingredients", "ingredients"),
        ("us-voc-limit?categories=varnish&container_l=0.5", "limit_g_l"),
    ],
)
def test_what_is_no_single_figure_is_no_cell(visitor: Client, path: str, figure: str) -> None:
    answer = visitor.get(f"/v1/calculations/{path}&as=value")
    assert answer.status_code == 422
    assert answer.json()["type"] == "/problems/no-single-figure"
    assert answer.json()["detail"].startswith(figure)


def test_a_fault_in_a_repeated_parameter_says_which(visitor: Client) -> None:
    path = "/v1/calculations/oil-length?oils=1000:0.93&oils=-5:0.93&resins_g=500&basis=as charged"
    (error,) = visitor.get(path).json()["errors"]
    assert error["parameter"] == "oils"
    assert error["detail"].startswith("oils, number 2, mass_g: ")
    (error,) = visitor.get(path.replace("-5", "five")).json()["errors"]
    assert error["detail"].startswith("oils, number 2, mass_g: ")


def test_a_field_left_empty_was_not_sent(visitor: Client) -> None:
    assert visitor.get(CUP + "?cup=Zahn-2&seconds=30&temperature_c=").status_code == 200
    (error,) = visitor.get(CUP + "?cup=Zahn-2&seconds=").json()["errors"]
    assert (error["parameter"], error["code"]) == ("seconds", "missing")


def test_words_of_a_list_may_be_typed_anyhow(visitor: Client) -> None:
    assert visitor.get(CUP + "?cup=iso2431-4&seconds=62&as=VALUE").status_code == 422
    assert visitor.get(CUP + "?cup=iso2431-4&seconds=62&as=value").status_code == 200


def test_a_unit_where_none_is_taken_is_told(visitor: Client) -> None:
    (error,) = visitor.get("/v1/calculations/tolerable-negative-error?nominal=250 ml").json()[
        "errors"
    ]
    assert error["hint"] == "Send 250 alone."


def test_a_list_too_long_is_refused_with_its_limit(visitor: Client) -> None:
    answer = visitor.post("/v1/calculations/replicate-readings", {"values": [1] * 501})
    assert answer.json()["errors"][0]["pointer"] == "#/values"
    assert "500" in answer.json()["errors"][0]["detail"]


def test_a_conversion_answers_in_the_unit_asked_for(visitor: Client) -> None:
    path = "/v1/calculations/convert?value=20&from_unit=°F&to_unit=K"
    assert visitor.read(path)["unit"] == "K"


def test_no_number_leaves_with_more_than_twelve_digits(visitor: Client) -> None:
    body = {"basis_g": 1000, "basis": "oil", "metal": "Co", "target_percent": "0.1"}
    answer = visitor.post("/v1/calculations/drier-dose", {**body, "drier_metal_percent": 7}).json()
    assert answer["figures"]["metal_g"]["value"] == "1"
    assert len(answer["value"].replace(".", "").lstrip("0")) <= 12


def test_what_rests_on_a_table_does_not_call_itself_exact(visitor: Client) -> None:
    found = visitor.read("/v1/calculations/us-voc-limit?categories=varnish&container_l=4")
    assert found["standing"] == "as the source has it"
