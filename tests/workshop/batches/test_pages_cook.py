"""The cook on a page: its times run forward, past midnight too."""

from datetime import datetime

from tests.client import Client
from tests.makers.batches import ready


def test_a_cook_that_runs_backwards_is_refused_once_and_each_remedy_makes_it_go(
    client: Client,
) -> None:
    code, _ = ready(client)
    path = f"/v1/batches/{code}/pages"
    body = {"on": "2026-11-25", "cook": [["23:40", 240], ["00:10", "239 °C", "string 3 cm"]]}
    fault = client.post(path, body).json()["errors"][0]
    assert (fault["code"], fault["pointer"]) == ("time-backwards", "#/cook/1/0")
    assert client.read(f"/v1/batches/{code}/cook-points")["data"] == []
    for remedy in fault["remedies"]:
        dry = client.post(f"{path}?dry_run=true", {**body, **remedy["send"]})
        assert dry.status_code == 200, dry.text
    client.made(path, {**body, **fault["remedies"][0]["send"]})
    points = client.read(f"/v1/batches/{code}/cook-points?sort=happened_at")["data"]
    times = [datetime.fromisoformat(point["happened_at"]) for point in points]
    assert (times[1] - times[0]).total_seconds() == 30 * 60
    assert points[1]["remark"] == "string 3 cm"


def test_times_that_are_only_about_may_overlap(client: Client) -> None:
    code, _ = ready(client)
    body = {"on": "2026-11-25", "cook": [["14:20", 240], ["about 14:10", 238]]}
    client.made(f"/v1/batches/{code}/pages", body)
