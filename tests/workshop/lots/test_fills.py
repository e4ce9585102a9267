"""Filling through HTTP: numbers, ledger, origins and the check."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.store.session import Store
from service.workshop.lots import queries
from service.workshop.stock.queries import lot as lot_of
from service.workshop.stock.queries import parents
from tests.client import Client, system
from tests.makers.lots import BULK, bulk, fill, left, ready

Held = dict[str, str]


@pytest.fixture
def held(client: Client, store: Store) -> Held:
    return ready(client, store)


def test_a_fill_makes_a_packed_lot_with_the_next_letter(client: Client, held: Held) -> None:
    made = fill(client)
    assert (made["lot"], made["bulk"], made["product"]) == ("SPAR-2611-07A-M", BULK, "SPAR")
    assert fill(client)["lot"].startswith("SPAR-2611-07B-")
    lot = client.read("/v1/lots/spar 2611 07a m")
    assert (lot["kind"], lot["quality"], lot["left"]) == ("packed", "quarantine", 3)
    assert (lot["made_on"], lot["expires_on"]) == ("2026-11-25", "2028-11-25")
    assert lot["nominal"] == {"value": "250", "unit": "ml"}


def test_what_was_assumed_is_shown(client: Client, held: Held) -> None:
    made = fill(client, on="2026-11-27")
    assert made["filled_on"] == "2026-11-27"
    assert made["assumed"] == {
        "product": "SPAR",
        "count": 3,
        "tare": "151 g",
        "container_lot": held["jars"],
        "closure_lot": held["lids"],
        "density": "F-26-" + made["assumed"]["density"][-3:],
    }
    assert made["flags"] == []
    assert (
        made["summary"] == "3 of 250ML filled from SPAR-2611-07-L into SPAR-2611-07A-M; fill pass."
    )


def test_the_check_shows_its_numbers(client: Client, held: Held) -> None:
    made = fill(client)
    # 225.1333 g / 0.897 kg/l = 250.985 ml; 250 ml x 0.897 kg/l = 224.25 g.
    assert made["check"]["mean"]["value"] == "250.98"
    assert made["check"]["verdict"] == "pass"
    # Directive 76/211/EEC, Annex I 2.4: 9 ml from 200 to 300 ml.
    assert made["check"]["tolerable_negative_error"] == {"value": "9", "unit": "ml"}
    assert made["check"]["first_limit"] == {"value": "241", "unit": "ml"}
    assert made["nominal_mass"]["value"] == "224.25"
    assert made["notes"][made["nominal_mass"]["note"]]["how"] == "250 ml x 0.897 kg/l"
    assert made["density"]["basis"] == "measured"
    assert made["notes"][made["density"]["note"]]["method"] == "pyknometer"
    assert made["weights"][0] == {
        "position": 1,
        "gross": {"value": "375.9", "unit": "g"},
        "net": {"value": "224.9", "unit": "g"},
    }


def test_bulk_jars_and_lids_are_taken_and_remembered_as_origins(
    client: Client, store: Store, held: Held
) -> None:
    number = fill(client)["lot"]
    assert left(client, BULK) == pytest.approx(5478 - 675.4)
    assert (left(client, held["jars"]), left(client, held["lids"])) == (97, 97)
    with store.reading(system()) as session:
        packed = lot_of(session, number)
        found = {parent.number: amount for parent, amount in parents(session, packed.row_id)}
        assert queries.bulk_of(session, packed).number == BULK
        assert queries.bulk_of(session, lot_of(session, BULK)).number == BULK
        assert [row.number for row in queries.packed_from(session, lot_of(session, BULK))] == [
            number
        ]
    assert found == {BULK: 675_400, held["jars"]: 3, held["lids"]: 3}


def test_fills_are_listed_for_the_bulk_and_shown_for_the_packed_lot(
    client: Client, held: Held
) -> None:
    first, second = fill(client)["lot"], fill(client, 380)["lot"]
    listed = client.read(f"/v1/lots/{BULK}/fills")["fills"]
    assert [(row["lot"], row["weights"]) for row in listed] == [(first, None), (second, None)]
    own = client.read(f"/v1/lots/{second}/fills")["fills"]
    assert [weight["gross"]["value"] for weight in own[0]["weights"]] == ["380"]
    assert client.read(f"/v1/lots/{held['jars']}/fills")["fills"] == []


def test_a_short_fill_is_recorded_and_must_be_concluded(client: Client, held: Held) -> None:
    made = fill(client, 370, 371)
    assert made["check"]["verdict"] == "fail"
    flag = made["flags"][0]
    assert flag["code"] == "fill-short"
    opened = client.read(f"/v1/deviations/{flag['opens']}")
    assert (opened["subject"], opened["open"]) == (made["lot"], True)


@pytest.mark.parametrize("gross", [[], [375.9, 376.4]])
def test_packs_that_were_not_weighed_are_recorded_as_not_checked(
    client: Client, held: Held, gross: list[float]
) -> None:
    body = {"pack": "250ML", "count": 4, "gross_g": gross}
    made = client.made(f"/v1/lots/{BULK}/fills", body)
    assert made["check"]["verdict"] == "not-checked"
    assert [flag["code"] for flag in made["flags"]] == ["fill-not-checked"]
    net = sum(weight - 151 for weight in gross) + (4 - len(gross)) * 224.25
    assert left(client, BULK) == pytest.approx(5478 - net)
    assert made["assumed"]["not_weighed"] == "taken as nominally full"


def test_a_fill_before_the_making_is_kept_and_must_be_concluded(client: Client, held: Held) -> None:
    body = {"pack": "250ML", "gross_g": [375.9, 376.4, 376.1], "on": "2026-11-24"}
    made = client.made(f"/v1/lots/{BULK}/fills", body)
    assert [flag["code"] for flag in made["flags"]] == ["filled-before-made"]
    assert client.read(f"/v1/deviations/{made['flags'][0]['opens']}")["subject"] == made["lot"]


def test_a_bulk_outside_the_scheme_gives_a_new_number_of_its_material(
    client: Client, store: Store, held: Held
) -> None:
    own = bulk(store, "POT-SEVEN")
    body = {"rows": {"density": "0.9 kg/l"}}
    assert client.made(f"/v1/lots/{own}/readings", body)["assumed"]["methods"]
    made = fill(client, lot=own, on="2026-11-27")
    assert made["lot"].startswith("SPAR-2611-01-")


def test_a_fill_from_a_recalled_lot_is_a_fact_and_is_pointed_out(
    client: Client, store: Store, held: Held
) -> None:
    from service.workshop.stock.actions import set_quality

    with store.writing(system()) as session:
        set_quality(session, lot_of(session, BULK), "recalled")
    assert [flag["code"] for flag in fill(client)["flags"]] == ["filled-from-blocked-lot"]


def test_a_fill_from_an_expired_lot_is_a_fact_and_opens_a_deviation(
    client: Client, store: Store, held: Held
) -> None:
    with store.writing(system()) as session:
        lot = lot_of(session, BULK)
        lot.expires_on = date(2026, 11, 26)
        session.add(lot)
    assert fill(client, on="2026-11-26")["flags"] == []
    (flag,) = fill(client, on="2026-11-27")["flags"]
    assert (flag["code"], flag["opens"] is None) == ("filled-from-expired-lot", False)


def test_a_density_of_another_temperature_is_pointed_out(client: Client, held: Held) -> None:
    warm = {"rows": {"density": "0.890 kg/l"}, "temperature": "30 °C"}
    client.made(f"/v1/lots/{BULK}/readings", warm)
    flag = fill(client)["flags"][0]
    assert (flag["code"], flag["opens"]) == ("density-not-at-20", None)


def test_a_dry_run_takes_nothing(client: Client, held: Held) -> None:
    answer = client.post(
        f"/v1/lots/{BULK}/fills", {"pack": "250ML", "gross_g": [376]}, params={"dry_run": "true"}
    )
    assert (answer.status_code, answer.json()["lot"]) == (200, None)
    assert left(client, held["jars"]) == 100


GROSS = st.lists(st.decimals("300", "400", places=1), min_size=1, max_size=3)


@settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(gross=GROSS)
def test_what_left_the_bulk_is_what_the_packs_hold(
    client: Client, held: Held, gross: list[Decimal]
) -> None:
    before = Decimal(client.read(f"/v1/lots/{BULK}")["left"]["value"])
    made = fill(client, *(float(weight) for weight in gross))
    after = Decimal(client.read(f"/v1/lots/{BULK}")["left"]["value"])
    nets = [Decimal(weight["net"]["value"]) for weight in made["weights"]]
    assert before - after == sum(nets) == sum(gross) - 151 * len(gross)
    moved = client.read(f"/v1/movements?lot={made['lot']}")["data"]
    assert [row["amount"] for row in moved] == [len(gross)]
