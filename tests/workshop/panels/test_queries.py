"""What other slices ask of readings."""

import pytest

from service.store.session import Store
from service.workshop.panels import queries
from service.workshop.stock.queries import lot as lot_of
from tests.client import Client, system
from tests.makers.panels import page, panel, protocol, varnish

READINGS = "/v1/panels/P-26-014/readings"


@pytest.fixture
def lot(client: Client, store: Store) -> str:
    number = varnish(client, store)
    protocol(client)
    panel(client, number)
    return number


def test_trials_of_one_condition_make_one_sentence(client: Client, store: Store, lot: str) -> None:
    for seen in ("none", "none", "bloom, faint"):
        client.made(READINGS, page({"A3": seen}))
    client.made(READINGS, page({"A3": "none"}, on="2027-02-26"))
    with store.reading(system()) as session:
        rows = queries.readings_of(session, [lot_of(session, lot).row_id])
        found = queries.sentences(session, rows)
    assert [line.n for line in found] == [3, 1]
    assert found[0].text == (
        "Water, one drop covered for 16 h at 21 °C: "
        "nothing seen (2 of 3 trials); faint bloom (1 of 3 trials)."
    )


def test_a_voided_reading_counts_nowhere(client: Client, store: Store, lot: str) -> None:
    made = client.made(READINGS, page({"A1": "none", "A3": "none"}))
    number = made["readings"][1]["reading"]
    client.made(f"/v1/readings/{number}/corrections", {"void": True, "reason": "wrong panel"})
    with store.reading(system()) as session:
        rows = queries.readings_of(session, [lot_of(session, lot).row_id])
        not_tried = queries.tests_not_tried(session, queries.versions_used(rows), rows)
        effects = queries.effects_of(session, [row.row_id for row in rows])
    assert [row.at for row in rows] == ["A1"]
    assert not_tried == ["water", "hand-rub alcohol, 70 % v/v ethanol"]
    assert list(effects.values()) == [[]]


def test_a_constant_knows_the_readings_behind_it(client: Client, store: Store, lot: str) -> None:
    body = {"rows": {"flow_time": ["62 s", "61 s"]}, "methods": {"flow_time": "ISO 2431, cup 4"}}
    client.made(f"/v1/lots/{lot}/readings", body)
    with store.reading(system()) as session:
        found = queries.constants(session, lot_of(session, lot))
    assert [(one.property, len(one.readings)) for one in found] == [("flow_time", 2)]
    assert found[0].text == "Flow time 62 s, ISO 2431, cup 4 (measured, 2 trials)"
