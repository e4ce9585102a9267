"""What came out, weighed by itself: one figure counts, and what else was said is asked about."""

from tests.client import Client
from tests.makers.batches import planned, stocked


def test_a_second_yield_is_kept_and_which_one_counts_is_told(client: Client) -> None:
    stocked(client)
    code = planned(client, "RESIN-ZN", "200 g")
    first = client.made(f"/v1/batches/{code}/yields", {"amount": "100 g"})
    assert first["flags"] == []
    second = client.made(f"/v1/batches/{code}/yields", {"amount": "0.090 kg"})
    (flag,) = second["flags"]
    assert flag["code"] == "yield-again"
    assert flag["text"] == ("100 g was entered as the yield before; 0.090 kg counts now, not both.")
    found = client.read(f"/v1/batches/{code}")
    assert found["open_deviations"] == [flag["opens"]]
    assert found["yield"]["value"] == "0.090"


def test_a_balance_that_lapsed_is_told_beside_the_yield(client: Client) -> None:
    stocked(client)
    client.made(
        "/v1/equipment",
        {"code": "BAL-OLD", "kind": "balance", "reads_to": "1 g", "calibrated_until": "2020-01-01"},
    )
    code = planned(client, "RESIN-ZN", "200 g")
    body = {"amount": "190 g", "balance": "BAL-OLD"}
    made = client.made(f"/v1/batches/{code}/yields", body)
    assert [flag["code"] for flag in made["flags"]] == ["calibration-lapsed"]
