"""What a version costs, line by line, for a kilogram, a litre and a jar, through HTTP."""

from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import event

from service.store.session import Store
from service.workshop.materials.actions import record_figures
from service.workshop.materials.bodies import FigureValue
from tests.client import Client, key_for, system
from tests.makers import products, recipes, scalings, stock
from tests.makers.materials import PRICED

PADDLE: dict[str, Any] = {
    "code": "PADDLE",
    "lines": [
        {"material": "OIL-LIN", "parts": 3},
        {"material": "WSPIRIT", "parts": 1, "stage": "thin"},
    ],
    "loss_strain": "20 %",
    "labour": {"time": "30 min", "for": "2 kg"},
}
# Paid: 6.20 for a kilogram of oil, 29.00 for 7.78 kg of spirit.
BOUGHT = ({"material": "OIL-LIN", "amount": "5 kg", "price": "31.00"},)
SPIRIT = {"material": "WSPIRIT", "amount": "7.78 kg", "price": "29.00"}


@pytest.fixture
def paddle(client: Client) -> Client:
    """An oil of three parts to one of spirit that loses a fifth in straining; the oil is paid."""
    recipes.shelf(client)
    stock.currency(client)
    recipes.material(client, "PADDLE", kind="finished")
    recipes.recipe(client, PADDLE)
    stock.receipt(client, *BOUGHT, on="2026-11-20")
    return client


def costs(client: Client, code: str = "PADDLE", number: int = 1) -> Any:
    return client.read(f"/v1/recipes/{code}/versions/{number}/costs")


def told(found: Any) -> list[str]:
    return [found["totals"][name]["text"] for name in ("per_kg", "per_litre")]


def test_a_line_without_a_price_makes_the_total_at_least_and_is_named(paddle: Client) -> None:
    found = costs(paddle)
    # 1 kg out takes 1.25 kg in: 0.9375 kg of oil at 6.20 = 5.8125. By hand.
    oil, spirit = found["lines"]
    assert (oil["charged"]["value"], oil["kept"]["value"]) == ("937.5", "750.0")
    assert (oil["price"], oil["cost"]["text"]) == ({"value": "6.20", "unit": "EUR/kg"}, "5.81 EUR")
    assert oil["by"]["kind"] == "receipt"
    assert oil["by"]["on"] == "2026-11-20"
    assert (spirit["price"], spirit["cost"]["missing"]) == (None, ["price of WSPIRIT"])
    charged = found["totals"]["materials_as_charged"]
    assert charged["text"] == "at least 5.81 EUR, 1 line without a price"
    assert found["totals"]["per_kg"]["missing"] == [
        "price of WSPIRIT",
        "labour rate of the workshop",
    ]
    assert found["totals"]["per_kg"]["text"] == "at least 5.81 EUR, 2 lines without a price"


def test_with_every_price_known_losses_and_labour_make_up_the_rest(paddle: Client) -> None:
    stock.receipt(paddle, SPIRIT)
    assert paddle.patch("/v1/workshop", {"labour_rate": "18.00"}).status_code == 200
    found = costs(paddle)
    # Kept: 0.75 x 6.20 + 0.25 x 3.72751 = 5.58188; a quarter more goes in = 6.97735; labour
    # 18.00 x 0.5 h / 2 kg = 4.50; 11.47735 in all. By hand.
    totals = found["totals"]
    assert totals["materials_as_kept"]["text"] == "5.58 EUR"
    assert found["losses"] == {
        "mass": {"value": "250.0", "unit": "g"},
        "cost": {
            "amount": {"value": "1.40", "unit": "EUR"},
            "at_least": False,
            "missing": [],
            "text": "1.40 EUR",
        },
    }
    assert totals["materials_as_charged"]["text"] == "6.98 EUR"
    assert found["labour"]["cost"]["text"] == "4.50 EUR"
    assert found["labour"]["rate"] == {"value": "18.00", "unit": "EUR/h"}
    # 0.75 / 0.930 + 0.25 / 0.778 = 1.12779 l: 0.887 kg/l; 11.47735 x 0.887 = 10.18. By hand.
    assert told(found) == ["11.48 EUR", "10.18 EUR"]
    assert found["density"]["value"] == "0.887"


def test_a_version_without_labour_names_it(client: Client) -> None:
    scalings.stocked(client)
    found = costs(client, "SPAR")
    assert "labour of version 1" in found["labour"]["cost"]["missing"]
    assert found["labour"]["cost"]["amount"] is None


def test_an_intermediate_is_taken_apart_by_its_recipe_and_said(client: Client) -> None:
    scalings.shop(client)
    stock.delivery(client)
    resin = costs(client, "SPAR")["lines"][0]
    assert (resin["material"], resin["by"]["kind"], resin["by"]["version"]) == (
        "RESIN-ZN",
        "recipe",
        1,
    )
    # (100 x 18.50 / 5 + 5 x 9.10 / 0.5) / 105 = 4.3905 for a kilogram. By hand.
    assert resin["price"]["value"] == "4.3905"
    parts = [(part["material"], part["charged"]["value"]) for part in resin["by"]["made_from"]]
    assert parts == [("ROSIN", "952.4"), ("ZNO", "47.62")]
    assert all(part["text"].startswith("receipt ") for part in resin["by"]["made_from"])


def test_the_latest_receipt_comes_before_what_a_lot_cost_and_that_before_a_list_price(
    paddle: Client, store: Store
) -> None:
    listed = {**PRICED, "price": {"value": "4.00", "per": "l"}}
    assert paddle.patch("/v1/materials/WSPIRIT", listed).status_code == 200
    spirit = costs(paddle)["lines"][1]
    # 4.00 for a litre of 0.778 kg: 5.1414 for a kilogram. By hand.
    assert (spirit["price"]["value"], spirit["by"]["kind"]) == ("5.1414", "list")
    oil = paddle.read("/v1/lots?material=OIL-LIN")["data"][0]["lot"]
    stock.made_lot(store, "WSPIRIT-2611-01", "WSPIRIT", {oil: 1_000_000}, amount=2_000_000)
    spirit = costs(paddle)["lines"][1]
    assert (spirit["price"]["value"], spirit["by"]["lot"]) == ("3.10", "WSPIRIT-2611-01")
    stock.receipt(paddle, SPIRIT)
    assert costs(paddle)["lines"][1]["by"]["kind"] == "receipt"


def test_a_jar_is_its_content_and_its_parts(client: Client) -> None:
    scalings.stocked(client)
    found = costs(client, "SPAR")
    jar = found["totals"]["per_jar"][0]
    assert (jar["product"], jar["pack"]) == ("SPAR", "250ML")
    # 250 ml at 0.897 kg/l is 224.25 g; 41.00 and 9.00 for a hundred jars and lids. By hand.
    assert jar["content"]["mass"] == {"value": "224.2", "unit": "g"}
    assert [(part["part"], part["cost"]["text"]) for part in jar["parts"]] == [
        ("container", "0.41 EUR"),
        ("closure", "0.09 EUR"),
    ]
    content, total = jar["content"]["cost"]["amount"], jar["total"]["amount"]
    off = Decimal(total["value"]) - Decimal(content["value"]) - Decimal("0.50")
    assert abs(off) <= Decimal("0.01")
    assert jar["total"]["at_least"]


def test_each_product_fills_its_jars_by_its_own_density(client: Client) -> None:
    scalings.stocked(client)
    thin = {"density": {**scalings.DENSITY["density"], "value": "0.884 kg/l"}}
    products.product(client, code="SPAR-THIN", figures=thin)
    jars = costs(client, "SPAR")["totals"]["per_jar"]
    told = [(jar["product"], jar["content"]["density"]["value"]) for jar in jars]
    assert told == [("SPAR", "0.897"), ("SPAR-THIN", "0.884")]


def test_without_a_density_a_litre_is_undecided_and_names_it(paddle: Client) -> None:
    recipes.material(paddle, "GUM", family="resin")
    body = {"lines": [{"material": "OIL-LIN", "parts": 1}, {"material": "GUM", "parts": 1}]}
    recipes.again(paddle, "PADDLE", body)
    found = costs(paddle, number=2)
    assert found["density"] is None
    assert found["totals"]["per_litre"]["text"] == "undecided: density of PADDLE, or of GUM"


def test_what_is_added_as_it_needs_is_no_nothing(paddle: Client) -> None:
    needed = {"rule": "as-needed", "until": "it runs off the stick"}
    lines = [PADDLE["lines"][0], {"material": "WSPIRIT", "derive": needed, "stage": "thin"}]
    recipes.again(paddle, "PADDLE", {"lines": lines})
    line = costs(paddle, number=2)["lines"][1]
    assert (line["charged"], line["cost"]["amount"]) == (None, None)
    assert line["cost"]["missing"] == ["amount of WSPIRIT, which is added as it needs"]


def test_a_draft_and_a_retired_version_are_told_too(paddle: Client) -> None:
    recipes.again(paddle, "PADDLE", {"lines": PADDLE["lines"]})
    recipes.retired(paddle, "PADDLE", 1)
    assert [costs(paddle, number=n)["state"] for n in (1, 2)] == ["retired", "draft"]


def test_costs_are_not_shown_to_who_only_reads(paddle: Client, app: Any, store: Store) -> None:
    path = "/v1/recipes/PADDLE/versions/1/costs"
    assert Client(app, key_for(store, ["read", "record"])).get(path).status_code == 403
    assert Client(app, key_for(store, ["write"])).get(path).status_code == 200


def test_without_a_currency_no_money_is_named(client: Client) -> None:
    recipes.spar(client)
    found = costs(client, "SPAR")
    assert found["currency"] is None
    assert found["totals"]["per_kg"]["amount"] is None
    assert found["totals"]["per_kg"]["missing"][0] == "currency of the workshop"


@pytest.mark.parametrize(
    ("path", "slug"), [("NONE/versions/1", "recipe"), ("PADDLE/versions/9", "version")]
)
def test_what_is_not_there_is_not_found(paddle: Client, path: str, slug: str) -> None:
    answer = paddle.get(f"/v1/recipes/{path}/costs")
    assert (answer.status_code, answer.json()["type"]) == (404, f"/problems/{slug}-unknown")


def asked(store: Store, call: Any) -> int:
    """How many statements a call takes."""
    seen: list[str] = []

    def note(*given: Any) -> None:
        seen.append(given[2])

    engine = store.reader
    event.listen(engine, "before_cursor_execute", note)
    call()
    event.remove(engine, "before_cursor_execute", note)
    return len(seen)


def test_more_lines_and_packs_take_no_more_queries(client: Client, store: Store) -> None:
    scalings.stocked(client)
    few = asked(store, lambda: costs(client, "SPAR"))
    for place in range(4):
        recipes.material(client, f"GUM-{place}", family="resin")
        pack = {"pack": f"P{place}", "container": "JAR-250", "nominal": "100 ml"}
        products.product(client, code=f"SPAR-{place}", packs=[pack], figures={})
    lines = [{"material": f"GUM-{place}", "parts": 1} for place in range(4)]
    recipes.again(client, "SPAR", {"lines": [*recipes.SPAR["lines"], *lines]})
    assert asked(store, lambda: costs(client, "SPAR", 2)) == few


def test_labour_in_what_is_made_first_is_said_not_to_be_counted(client: Client) -> None:
    scalings.shop(client)
    stock.delivery(client)
    found = costs(client, "SPAR")
    assert (
        "labour of RESIN-ZN, which is made first, and of what it is made of"
        in (found["not_reckoned"])
    )
    assert "by its declared losses, its labour not counted" in found["lines"][0]["by"]["text"]


def test_what_is_bought_has_no_labour_that_is_left_out(paddle: Client) -> None:
    assert costs(paddle)["not_reckoned"] == []


def test_a_measured_loss_is_said_not_to_be_reckoned_with(paddle: Client, store: Store) -> None:
    value = FigureValue(value="25 %", basis="measured", method="weighed")
    with store.writing(system()) as session:
        record_figures(session, ("version", "PADDLE/1"), {"loss": value}, by=None)
    (said,) = costs(paddle)["not_reckoned"]
    assert said.startswith("25.0 % of all that is weighed in, measured on the last batch")
