"""The states of a batch: only the allowed moves, whatever is asked in whatever order."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.workshop.batches.rules import ENDED, MOVES
from tests.client import Client
from tests.makers.batches import planned, stocked

TO = st.sampled_from(["running", "held", "complete", "aborted"])


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(TO, max_size=6), st.booleans())
def test_a_batch_moves_only_as_its_state_allows(
    client: Client, asked: list[str], weighed: bool
) -> None:
    if client.get("/v1/people/MB").status_code == 404:
        stocked(client)
    code, state = planned(client, "RESIN-ZN", "100 g"), "planned"
    if weighed:
        client.made(f"/v1/batches/{code}/yields", {"amount": "98 g"})
    for to in asked:
        answer = client.post(f"/v1/batches/{code}/transitions", {"to": to})
        if to not in MOVES[state]:
            assert answer.status_code == 409
            assert answer.json()["type"] == "/problems/batch-state"
        elif to == "complete" and not weighed:
            assert answer.json()["type"] == "/problems/yield-missing"
        else:
            assert answer.status_code == 201, answer.text
            state = to
        assert client.read(f"/v1/batches/{code}")["state"] == state


@given(st.lists(TO, max_size=12))
def test_what_has_ended_stays_so(asked: list[str]) -> None:
    state, ended = "planned", False
    for to in asked:
        if to in MOVES[state]:
            assert not ended
            state = to
        ended = state in ENDED
    assert set(MOVES) >= {after for moves in MOVES.values() for after in moves}


def test_a_move_told_to_be_earlier_than_the_last_is_kept_and_asked_about(client: Client) -> None:
    stocked(client)
    code = planned(client, "RESIN-ZN", "100 g")
    path = f"/v1/batches/{code}/transitions"
    begun = client.made(path, {"to": "running", "happened_at": "2026-11-20T10:00:00Z"})
    assert begun["flags"] == []
    held = client.made(path, {"to": "held", "happened_at": "2026-11-19T10:00:00Z"})
    assert held["to"] == "held"
    (flag,) = held["flags"]
    assert flag["code"] == "time-backwards"
    assert held["open_deviations"] == [flag["opens"]]
    right = {"replaces": {"happened_at": "2026-11-20T12:00:00Z"}, "reason": "the wrong day"}
    client.made(f"{path}/{held['entry']}/corrections", right)


def test_each_refusal_of_an_end_names_where_to_go(client: Client) -> None:
    stocked(client)
    code = planned(client, "RESIN-ZN", "100 g")
    path = f"/v1/batches/{code}"
    early = client.post(f"{path}/transitions", {"to": "complete"}).json()
    assert f"POST {path}/yields" in early["errors"][0]["hint"]
    client.made(f"{path}/transitions", {"to": "aborted"})
    late = client.post(f"{path}/yields", {"amount": "50 g"}).json()
    assert late["detail"].endswith(f"POST {path}/stages.")
    parts = [{"part": "residue", "amount": "50 g", "goes": "scrap"}]
    client.made(f"{path}/stages", {"stage": "cook", "out": parts})
