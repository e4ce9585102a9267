"""The ledger read back: in whatever order, it says what is left; what was corrected cancels."""

from decimal import Decimal
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.store.session import Store
from service.workshop.stock.faults import faults
from tests.client import Client, system
from tests.makers.stock import received

CAUSES = st.sampled_from(["scrap", "cleaning", "adjustment"])
ENTRIES = st.lists(st.tuples(CAUSES, st.integers(1, 900)), min_size=1, max_size=5)
# Which entry of those there are is corrected, and what it really was; 0 voids it.
CORRECTIONS = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 900)), max_size=6)


def grams(amount: Any) -> Decimal:
    size = Decimal(amount["value"])
    return size * 1000 if amount["unit"] == "kg" else size


def ledger(client: Client, lot: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = client.read(f"/v1/movements?lot={lot}&limit=500")["data"]
    return found


def out(cause: str, much: int) -> str:
    """What went; of an adjustment the sign is said."""
    return f"{'-' if cause == 'adjustment' else ''}{much} g"


def enter(client: Client, lot: str, cause: str, much: int) -> None:
    body = {"lot": lot, "cause": cause, "amount": out(cause, much), "reason": "as the diary says"}
    client.made("/v1/movements", body)


def correct(client: Client, lot: str, which: int, much: int) -> None:
    """Put one of the entries that stand right, or void it."""
    there = [
        row
        for row in ledger(client, lot)
        if row["cause"] in {"scrap", "cleaning", "adjustment"} and not row["corrected_by"]
    ]
    if not there:
        return
    row = there[which % len(there)]
    amount = {"amount": out(row["cause"], much)}
    what: dict[str, Any] = {"replaces": amount} if much else {"void": True}
    client.made(f"/v1/movements/{row['movement']}/corrections", {"reason": "misread", **what})


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(entries=ENTRIES, corrections=CORRECTIONS, data=st.data())
def test_a_replay_in_any_order_says_what_is_left_and_what_was_corrected_cancels(
    client: Client,
    store: Store,
    entries: list[tuple[str, int]],
    corrections: list[tuple[int, int]],
    data: st.DataObject,
) -> None:
    lot = received(client, lot=f"LAW-{len(client.read('/v1/lots?limit=500')['data'])}")
    for cause, much in entries:
        enter(client, lot, cause, much)
    for which, much in corrections:
        correct(client, lot, which, much)
    lines = data.draw(st.permutations(ledger(client, lot)))
    left = client.read(f"/v1/lots/{lot}")["left"]
    assert sum(grams(line["amount"]) for line in lines) == grams(left)
    stands = [line for line in lines if not line["corrected_by"] and not line["void"]]
    assert sum(grams(line["amount"]) for line in stands) == grams(left)
    with store.reading(system()) as session:
        assert list(faults(session)) == []
