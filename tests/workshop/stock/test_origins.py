"""The graph of origins, and what lots cost by it."""

from fractions import Fraction

import pytest

from service.store.session import Store
from service.workshop.stock import actions, queries
from tests.client import Client, system
from tests.makers.stock import currency, delivery, goods, made_lot, receipt, received

BULK, JARS = "SPAR-2611-07-L", "SPAR-2611-07A-M"


@pytest.fixture
def lots(client: Client, store: Store) -> dict[str, str]:
    """Resinate from rosin and zinc oxide, varnish from resinate, oil and spirit, jars of it."""
    held = delivery(client)
    goods(client, "RESIN-ZN", "intermediate")
    goods(client, "SPAR", "finished")
    cook = {held["ROSIN"]: 1_155_000, held["ZNO"]: 57_800}
    resinate = made_lot(store, "RESZN-2611-02-E", "RESIN-ZN", cook, amount=1_183_000)
    cook = {resinate.number: 1_149_000, held["OIL-LIN"]: 1_379_000, held["WSPIRIT"]: 2_230_000}
    made_lot(store, BULK, "SPAR", cook, amount=4_500_000)
    filled = {BULK: 4_400_000, held["JAR-250"]: 20, held["LID-63"]: 20}
    made_lot(store, JARS, "SPAR", filled, amount=20, kind="packed")
    return held


def test_origins_go_down_to_what_was_bought(client: Client, lots: dict[str, str]) -> None:
    found = client.read(f"/v1/lots/{JARS}/origins")
    assert found["complete"] is True
    by_depth = {
        depth: {row["material"] for row in found["lots"] if row["depth"] == depth}
        for depth in (1, 2, 3)
    }
    assert by_depth == {
        1: {"SPAR", "JAR-250", "LID-63"},
        2: {"RESIN-ZN", "OIL-LIN", "WSPIRIT"},
        3: {"ROSIN", "ZNO"},
    }
    jars = next(row for row in found["lots"] if row["material"] == "JAR-250")
    assert (jars["amount"], jars["left"], jars["went_into"]) == (20, 80, JARS)


def test_destinations_go_up_to_what_is_sold(client: Client, lots: dict[str, str]) -> None:
    found = client.read(f"/v1/lots/{lots['ZNO']}/destinations")["lots"]
    steps = [(row["depth"], row["of"], row["lot"], row["amount"]) for row in found]
    assert steps == [
        (1, lots["ZNO"], "RESZN-2611-02-E", {"value": "57.8", "unit": "g"}),
        (2, "RESZN-2611-02-E", BULK, {"value": "1149", "unit": "g"}),
        (3, BULK, JARS, {"value": "4400", "unit": "g"}),
    ]


def test_a_circle_ends_the_walk_and_has_no_price(
    client: Client, store: Store, lots: dict[str, str]
) -> None:
    with store.writing(system()) as session:
        bulk, resinate = (queries.lot(session, name) for name in (BULK, "RESZN-2611-02-E"))
        actions.link(session, bulk, resinate, 1000)
        assert queries.unit_price(session, bulk) is None
    found = client.read(f"/v1/lots/{JARS}/origins")
    assert found["complete"] is True
    assert len({(row["of"], row["went_into"]) for row in found["lots"]}) == len(found["lots"])


def test_taking_back_the_whole_of_a_parent_unlinks_it(
    client: Client, store: Store, lots: dict[str, str]
) -> None:
    with store.writing(system()) as session:
        bulk, spirit = queries.lot(session, BULK), queries.lot(session, lots["WSPIRIT"])
        actions.link(session, spirit, bulk, 70_000)
        taken = {lot.number: amount for lot, amount in queries.parents(session, bulk.row_id)}
        assert taken[spirit.number] == 2_300_000
        actions.link(session, spirit, bulk, -2_300_000)
        left = [lot.number for lot, _ in queries.parents(session, bulk.row_id)]
        used = queries.children(session, spirit.row_id)
    assert spirit.number not in left
    assert used == []


def test_a_jar_costs_what_went_in_over_what_came_out(
    client: Client, store: Store, lots: dict[str, str]
) -> None:
    # By hand, in EUR: each price over the mass of its delivery note; spirit 10 l x 0.778 kg/l.
    resinate = (Fraction("18.5") / 5000 * 1155 + Fraction("9.1") / 500 * Fraction("57.8")) / 1183
    oil, spirit = Fraction(31) / 5000, Fraction(29) / 7780
    varnish = (resinate * 1149 + oil * 1379 + spirit * 2230) / 4500
    jar = (varnish * 4400 + Fraction(41) / 100 * 20 + Fraction(9) / 100 * 20) / 20
    with store.reading(system()) as session:
        assert queries.unit_price(session, queries.lot(session, JARS)) == jar
    row = client.read("/v1/stock?kind=packed")["data"][0]
    assert row["cost_basis"] == "origins"
    assert row["unit_cost"] == {"value": str(round(float(jar), 4)), "unit": "EUR/pcs"}
    assert row["value"] == {"value": f"{round(float(jar * 20), 2):.2f}", "unit": "EUR"}


def test_a_part_without_a_price_leaves_the_whole_without(
    client: Client, store: Store, lots: dict[str, str]
) -> None:
    free = received(client, "SIKKATIV-X", "1 kg")
    with store.writing(system()) as session:
        bulk = queries.lot(session, BULK)
        actions.link(session, queries.lot(session, free), bulk, 1000)
        assert queries.unit_price(session, bulk) is None


def test_the_newest_delivery_with_a_price_says_what_a_material_costs(
    client: Client, store: Store
) -> None:
    currency(client)
    goods(client, "OIL-LIN")
    line = {"material": "OIL-LIN", "amount": "1 kg"}
    receipt(client, {**line, "price": "7.00"}, on="2026-11-02")
    receipt(client, {**line, "price": "6.00"}, on="2026-11-01")
    receipt(client, line, on="2026-11-03")
    with store.reading(system()) as session:
        found = queries.latest_price(session, "OIL-LIN")
        assert queries.latest_price(session, "ROSIN") is None
    assert found is not None
    assert (found.per, found.on.isoformat()) == (Fraction(7, 1_000_000), "2026-11-02")


def test_a_gift_costs_nothing_which_is_a_price(client: Client, store: Store) -> None:
    currency(client)
    gift = received(client, price="0")
    with store.reading(system()) as session:
        assert queries.unit_price(session, queries.lot(session, gift)) == 0


def test_the_shelf_shows_what_is_left_and_what_is_owed(
    client: Client, lots: dict[str, str]
) -> None:
    client.made("/v1/movements", {"lot": BULK, "amount": "100 g", "cause": "cleaning"})
    over = {"lot": lots["ZNO"], "amount": "1 kg", "cause": "scrap", "reason": "spilt"}
    client.made("/v1/movements", over)
    shelf = {row["lot"]: row for row in client.read("/v1/stock")["data"]}
    assert BULK not in shelf
    assert shelf[lots["ZNO"]]["left"] == {"value": "-557.8", "unit": "g"}
    oil = shelf[lots["OIL-LIN"]]
    # 31.00 EUR for 5 kg; 5 - 1.379 = 3.621 kg are left, worth 22.45
    assert oil["unit_cost"] == {"value": "6.20", "unit": "EUR/kg"}
    assert oil["value"] == {"value": "22.45", "unit": "EUR"}
    assert [row["lot"] for row in client.read("/v1/stock?material=ROSIN")["data"]] == [
        lots["ROSIN"]
    ]
