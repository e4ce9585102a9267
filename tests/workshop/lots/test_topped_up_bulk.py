"""A bulk lot that was topped up is filled, labelled and released like one from the kettle."""

from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client
from tests.makers import jars
from tests.makers.stock import received


@pytest.fixture
def drum(client: Client, store: Store) -> Any:
    """A kettle's varnish with the spirit that rinsed its strainer; the top-up."""
    jars.workshop(client)
    bulk = jars.kettle(client, store)
    spirit = received(client, "WSPIRIT", "1 kg", expires_on="2027-06-30")
    rinse = {"lot": spirit, "amount": "122 g", "what": "strainer-rinse"}
    return client.made(f"/v1/lots/{bulk}/top-ups", {"with": [rinse], "material": "SPAR"})


def test_what_is_in_its_jars_is_walked_through_to_the_kettle(client: Client, drum: Any) -> None:
    jars.tried(client, drum["lot"])
    packed = jars.filled(client, drum["lot"])
    sheet = client.read(f"/v1/lots/{packed}/sheets/draft")
    assert sheet["lot"] == packed
    deeper = client.read(f"/v1/lots/{packed}/origins")["lots"]
    assert jars.BULK in {row["lot"] for row in deeper}
    label = client.read(f"/v1/lots/{packed}/labels/draft")
    assert label["lot"] == packed


def test_its_jars_expire_with_the_first_that_is_in_them(client: Client, drum: Any) -> None:
    assert drum["expires_on"] == "2027-06-30"
    jars.tried(client, drum["lot"])
    packed = jars.filled(client, drum["lot"])
    assert client.read(f"/v1/lots/{packed}")["expires_on"] == "2027-06-30"


def test_it_is_released_with_its_jars_in_one_act(client: Client, drum: Any) -> None:
    jars.tried(client, drum["lot"])
    packed = jars.filled(client, drum["lot"])
    jars.labelled(client, packed)
    for number in {flag["opens"] for flag in drum["flags"]}:
        conclusion = {"text": "the bulk is released with its jars", "by": "MB"}
        client.made(f"/v1/deviations/{number}/conclusions", conclusion)
    done = client.made(f"/v1/lots/{packed}/releases", {"with_bulk": True, "by": "MB"})
    assert (done["quality"], done["sheet_revision"]) == ("released", 1)
    assert client.read(f"/v1/lots/{drum['lot']}")["quality"] == "released"


def test_nothing_that_was_measured_of_the_kettle_is_taken_for_the_drum(
    client: Client, store: Store
) -> None:
    jars.workshop(client)
    bulk = jars.kettle(client, store)
    jars.tried(client, bulk)
    spirit = received(client, "WSPIRIT", "1 kg")
    rinse = {"lot": spirit, "amount": "122 g", "what": "strainer-rinse"}
    made = client.made(f"/v1/lots/{bulk}/top-ups", {"with": [rinse], "material": "SPAR"})
    assert {"flow_time", "density"} <= {row["property"] for row in made["not_carried"]} | {
        row["name"] for row in made["figures"]
    }
    rows = client.read(f"/v1/lots/{made['lot']}/figures")["figures"]
    assert not {"flow_time"} & {row["name"] for row in rows if row["of"] == "lot"}
