"""The ledger: what moved, what is left, and how it is put right."""

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import func, select

from service.store.records import standing
from service.store.session import Store
from service.workshop.stock import actions, queries
from service.workshop.stock.actions import Move
from service.workshop.stock.queries import Movement
from service.workshop.stock.rules import StockShort
from tests.client import Client, dump, key_for, system
from tests.makers.stock import CERTIFICATE, currency, goods, received

SCRAP = {"cause": "scrap", "reason": "skin on it"}
ADJUST = {"cause": "adjustment", "reason": "weighed again"}


def moved(client: Client, lot: str, amount: Any, **more: Any) -> Any:
    return client.made("/v1/movements", {"lot": lot, "amount": amount, **more})


def test_scrap_and_cleaning_go_out(client: Client) -> None:
    oil = received(client)
    assert moved(client, oil, "200 g", **SCRAP)["amount"] == {"value": "-200", "unit": "g"}
    answer = moved(client, oil, "0.3 kg", cause="cleaning")
    assert answer["left"] == {"value": "4500", "unit": "g"}
    assert answer["flags"] == []
    assert client.read(f"/v1/lots/{oil}")["left"] == {"value": "4500", "unit": "g"}


def test_a_fact_below_zero_is_kept_flagged_and_to_be_concluded(client: Client) -> None:
    oil = received(client)
    answer = moved(client, oil, "6 kg", **SCRAP)
    assert answer["left"] == {"value": "-1000", "unit": "g"}
    assert answer["flags"][0]["code"] == "stock-negative"
    opened = client.read(f"/v1/deviations/{answer['flags'][0]['opens']}")
    assert (opened["subject_kind"], opened["subject"]) == ("lot", oil)


def test_an_adjustment_says_its_direction(client: Client) -> None:
    oil = received(client)
    body = {"lot": oil, "amount": "20 g", **ADJUST}
    problem = client.post("/v1/movements", body).json()
    assert problem["errors"][0]["code"] == "sign-missing"
    ways = [way["send"] for way in problem["errors"][0]["remedies"]]
    lefts = [client.made("/v1/movements", {**body, **way})["left"]["value"] for way in ways]
    assert lefts == ["4980", "5000"]


def test_what_is_scrapped_has_no_sign(client: Client) -> None:
    oil = received(client)
    body = {"lot": oil, "amount": "-20 g", **SCRAP}
    problem = client.post("/v1/movements", body).json()
    assert problem["errors"][0]["code"] == "sign-not-wanted"
    send = problem["errors"][0]["remedies"][0]["send"]
    assert client.made("/v1/movements", {**body, **send})["left"]["value"] == "4980"


def test_an_adjustment_below_zero_is_refused_with_what_is_left(client: Client) -> None:
    oil = received(client)
    body = {"lot": oil, "amount": "-6 kg", **ADJUST}
    problem = client.post("/v1/movements", body).json()
    assert problem["type"] == "/problems/stock-short"
    assert problem["left"] == "5000 g"
    send = problem["errors"][0]["remedies"][0]["send"]
    assert client.made("/v1/movements", {**body, **send})["left"]["value"] == "0"


def test_only_a_key_with_release_overrides(client: Client, store: Store) -> None:
    goods(client, "JAR-250", "container")
    jars = received(client, "JAR-250", 10)
    body = {"lot": jars, "amount": -12, **ADJUST, "override_reason": "counted twice"}
    recorder = Client(client.app, key_for(store, ["record"]))
    assert recorder.post("/v1/movements", body).status_code == 409
    answer = client.made("/v1/movements", body)
    assert (answer["left"], answer["flags"][0]["opens"]) == (-2, None)


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"cause": "scrap"}, "reason-missing"),
        ({"cause": "adjustment"}, "reason-missing"),
        ({"cause": "weighing", "reason": "x"}, "literal-error"),
        ({**SCRAP, "override_reason": "x"}, "not-overridden"),
        ({**SCRAP, "by": "NOBODY"}, "person-unknown"),
    ],
)
def test_a_movement_without_its_grounds_is_refused(
    client: Client, more: dict[str, str], code: str
) -> None:
    answer = client.post("/v1/movements", {"lot": received(client), "amount": "1 g", **more})
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["code"] == code


def test_a_correction_replaces_and_is_corrected_in_turn(client: Client) -> None:
    oil = received(client)
    first = moved(client, oil, "200 g", **SCRAP)
    replaces = {"replaces": {"amount": "20 g"}, "reason": "a nought too many"}
    path = f"/v1/movements/{first['movement']}/corrections"
    second = client.made(path, replaces)
    assert (second["corrects"], second["left"]["value"]) == (first["movement"], "4980")
    assert second["happened_at"] == first["happened_at"]
    assert client.post(path, replaces).json()["type"] == "/problems/already-corrected"
    void = {"void": True, "reason": "another lot"}
    third = client.made(f"/v1/movements/{second['movement']}/corrections", void)
    assert (third["void"], third["left"]["value"]) == (True, "5000")
    again = client.post(f"/v1/movements/{third['movement']}/corrections", void)
    assert again.json()["type"] == "/problems/corrected-elsewhere"
    shown = client.read(f"/v1/movements/{first['movement']}")
    assert shown["corrected_by"] == second["movement"]


def test_a_receipt_is_corrected_with_its_price(client: Client) -> None:
    currency(client)
    oil = received(client, price="31.00")
    came = client.read(f"/v1/movements?lot={oil}")["data"][0]["movement"]
    moved(client, oil, "1 kg", **SCRAP)
    body = {"replaces": {"amount": "500 g", "price": "3.10"}, "reason": "misread"}
    answer = client.made(f"/v1/movements/{came}/corrections", body)
    assert answer["flags"][0]["code"] == "stock-negative"
    shown = client.read(f"/v1/lots/{oil}")
    assert shown["came"] == {"value": "500", "unit": "g"}
    assert shown["price"] == {"value": "3.10", "unit": "EUR"}


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ({"replaces": {"amount": "1 g"}, "void": True, "reason": "x"}, "one-of-two"),
        ({"reason": "x"}, "one-of-two"),
        ({"replaces": {}, "reason": "x"}, "nothing-replaced"),
        ({"replaces": {"amount": "+1 g"}, "reason": "x"}, "sign-not-wanted"),
        ({"replaces": {"price": "1"}, "reason": "x"}, "no-price"),
    ],
)
def test_a_correction_says_one_thing(client: Client, body: Any, code: str) -> None:
    first = moved(client, received(client), "1 g", **SCRAP)
    answer = client.post(f"/v1/movements/{first['movement']}/corrections", body)
    assert answer.status_code == 422, answer.text
    assert answer.json()["errors"][0]["code"] == code


@pytest.mark.parametrize("name", ["M-99", "x", "M-", "9" * 30, "M--1"])
def test_a_movement_nobody_wrote_is_unknown(client: Client, name: str) -> None:
    assert client.get(f"/v1/movements/{name}").json()["type"] == "/problems/movement-unknown"


def test_a_dry_run_moves_nothing(client: Client, store: Store) -> None:
    oil = received(client)
    before = dump(store)
    answer = client.post("/v1/movements?dry_run=true", {"lot": oil, "amount": "9 kg", **SCRAP})
    assert answer.status_code == 200
    assert answer.json()["movement"] is None
    assert answer.json()["left"]["value"] == "-4000"
    assert dump(store) == before


def test_a_plan_below_zero_is_refused_and_writes_nothing(client: Client, store: Store) -> None:
    oil = received(client)
    with store.writing(system()) as session:
        row = queries.lot(session, oil)
        with pytest.raises(StockShort):
            actions.move(session, row, Move(-5_000_001, "weighing"), plan=True)
        assert actions.move(session, row, Move(-5_000_000, "weighing"), plan=True) is None
        assert queries.left(session, [row.row_id]) == {row.row_id: 0}


AMOUNTS = st.integers(1, 4000)
STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("scrap"), AMOUNTS),
        st.tuples(st.just("more"), AMOUNTS),
        st.tuples(st.just("replace"), AMOUNTS),
        st.tuples(st.just("void"), st.just(0)),
    ),
    max_size=8,
)


@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps=STEPS)
def test_what_is_left_is_the_sum_of_the_ledger_and_of_what_stands(
    client: Client, store: Store, steps: list[tuple[str, int]]
) -> None:
    oil = received(client, lot=f"LAW-{len(client.read('/v1/lots?limit=500')['data'])}")
    standing_now: list[tuple[str, int]] = []
    for what, grams in steps:
        _step(client, oil, what, grams, standing_now)
    expected = 5_000_000 + 1000 * sum(amount for _, amount in standing_now)
    with store.reading(system()) as session:
        lot = queries.lot(session, oil)
        all_of_it = select(func.sum(Movement.amount)).where(Movement.lot == lot.row_id)
        sums = [
            session.exec(each).one() for each in (all_of_it, all_of_it.where(standing(Movement)))
        ]
        assert queries.left(session, [lot.row_id]) == {lot.row_id: expected}
    assert sums == [expected, expected]


def _step(client: Client, lot: str, what: str, grams: int, held: list[tuple[str, int]]) -> None:
    """One entry or correction, and what should stand after it (name, grams)."""
    if what == "scrap":
        held.append((moved(client, lot, f"{grams} g", **SCRAP)["movement"], -grams))
    elif what == "more":
        held.append((moved(client, lot, f"+{grams} g", **ADJUST)["movement"], grams))
    elif held:
        name, before = held.pop()
        sign = "" if before < 0 and _is_scrap(client, name) else "+"
        replaces = {"replaces": {"amount": f"{sign}{grams} g"}}
        body = {"void": True} if what == "void" else replaces
        made = client.made(f"/v1/movements/{name}/corrections", {**body, "reason": "slip"})
        if what == "replace":
            held.append((made["movement"], grams if sign else -grams))


def _is_scrap(client: Client, name: str) -> bool:
    return bool(client.read(f"/v1/movements/{name}")["cause"] == "scrap")


def test_a_density_is_answered_with_the_digits_it_was_stated_with(client: Client) -> None:
    lot = received(client, "WSPIRIT", "10 l", density={"value": "0.778 kg/l", **CERTIFICATE})
    made = client.made("/v1/movements", {"lot": lot, "cause": "cleaning", "amount": "100 ml"})
    assert made["density"] == {"value": "0.778", "unit": "kg/l"}
    assert client.read(f"/v1/movements/{made['movement']}")["density"] == made["density"]


def test_what_is_still_to_come_has_not_moved(client: Client) -> None:
    body = {"lot": received(client), "amount": "1 g", **SCRAP}
    answer = client.post("/v1/movements", {**body, "happened_at": "2100-01-01T00:00:00Z"})
    (fault,) = answer.json()["errors"]
    assert (answer.status_code, fault["pointer"]) == (422, "#/happened_at")
    client.made("/v1/movements", body | fault["remedies"][0]["send"])


def test_an_adjustment_without_its_unit_is_asked_for_the_unit_first(client: Client) -> None:
    """Its sign alone would only lead to the next refusal."""
    oil = received(client)
    answer = client.post("/v1/movements", {"lot": oil, "amount": 5, **ADJUST})
    assert [fault["code"] for fault in answer.json()["errors"]] == ["unit-missing"]
