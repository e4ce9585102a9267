"""The demo's link to the service: what it loses is sent again, and kept once."""

from typing import Any

import pytest

from service.demo import Failed, deliver
from service.examples import Example
from tests.client import Client
from tests.makers.batches import bench
from tests.served import serving

PATH = "/v1/equipment/KETTLE-2/cook-points"


def log_of(count: int) -> Example:
    """The points of a logger, as a call of the scenario."""
    rows = [[number, 60] for number in range(1, count + 1)]
    body = {"device": "PI", "columns": ["seq", "temperature_c"], "rows": rows}
    return Example("log", "store_cook_points", "log", "POST", PATH, 200, request=body)


def test_of_three_answers_two_are_lost_and_every_point_is_kept_once(
    app: Any, client: Client
) -> None:
    bench(client)
    told: list[str] = []
    with serving(app) as url:
        answer = deliver(url, client.key or "", log_of(100), tell=told.append)
    assert (answer.json()["stored"], answer.json()["known"]) == (0, 20)  # the last part, once more
    assert told == ["  100 points of PI; 6 answers were lost on the way"]
    kept = client.read(f"{PATH}?sort=seq&limit=500")["data"]
    assert [point["seq"] for point in kept] == list(range(1, 101))


def test_a_refusal_that_comes_through_is_answered_as_it_is(app: Any, client: Client) -> None:
    with serving(app) as url:
        answer = deliver(url, client.key or "", log_of(100), tell=lambda _: None)
    assert answer.status_code == 404  # there is no such kettle


def test_a_service_that_is_away_is_no_reason_to_try_for_ever() -> None:
    with pytest.raises(Failed, match="no answer in"):
        deliver("http://127.0.0.1:9", "key", log_of(1), tell=lambda _: None)
