"""Laws of pouring together: shares are a whole, and what went in equals what left."""

from fractions import Fraction
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.store.session import Store
from service.workshop.stock import queries
from tests.client import Client, system
from tests.makers.stock import goods, receipt

MG = st.integers(1, 4_000_000)
AMOUNTS = st.lists(MG, min_size=2, max_size=6)
QUIET = [HealthCheck.function_scoped_fixture]


@given(amounts=st.lists(st.integers(1, 10**15), min_size=1, max_size=21))
def test_shares_sum_to_one_exactly(amounts: list[int]) -> None:
    shares = queries.shares(amounts)
    assert sum(shares) == 1
    assert [share * sum(amounts) for share in shares] == amounts


def barrels(client: Client, count: int) -> list[str]:
    """So many lots of 5 kg, each with a number of its own."""
    goods(client, "OIL-LIN")
    lines = [{"material": "OIL-LIN", "amount": "5 kg"}] * count
    start = len(client.read("/v1/lots?limit=500")["data"])
    named = [{**line, "lot": f"LAW-{start + place}"} for place, line in enumerate(lines)]
    receipt(client, *named)
    return [line["lot"] for line in named]


def ledger(store: Store, lots: list[str]) -> list[int]:
    """What is left of each, in mg."""
    with store.reading(system()) as session:
        keys = [queries.lot(session, lot).row_id for lot in lots]
        remains = queries.left(session, keys)
        return [remains[key] for key in keys]


def poured(lots: list[str], amounts: list[int]) -> dict[str, Any]:
    """A body that pours so many mg of each lot onto the first."""
    others = [
        {"lot": lot, "amount": f"{mg} mg", "on_ledger": place % 2 == 0}
        for place, (lot, mg) in enumerate(zip(lots[1:], amounts[1:], strict=True))
    ]
    return {"heel": f"{amounts[0]} mg", "with": others}


@settings(max_examples=15, deadline=None, suppress_health_check=QUIET)
@given(amounts=AMOUNTS)
def test_what_went_in_equals_what_left(client: Client, store: Store, amounts: list[int]) -> None:
    lots = barrels(client, len(amounts))
    made = client.made(f"/v1/lots/{lots[0]}/top-ups", poured(lots, amounts))
    assert ledger(store, [made["lot"]]) == [sum(amounts)]
    # What was booked back before it was poured leaves the ledger of its lot as it was.
    left = [
        5_000_000 - (mg if place == 0 or place % 2 == 1 else 0) for place, mg in enumerate(amounts)
    ]
    assert ledger(store, lots) == left
    assert sum(Fraction(part["share"]) for part in made["parts"]) == 1
    with store.reading(system()) as session:
        child = queries.lot(session, made["lot"])
        edges = {lot.number: mg for lot, mg in queries.parents(session, child.row_id)}
    assert edges == dict(zip(lots, amounts, strict=True))


@settings(max_examples=10, deadline=None, suppress_health_check=QUIET)
@given(first=AMOUNTS, data=st.data())
def test_a_correction_and_what_it_takes_back_cancel(
    client: Client, store: Store, first: list[int], data: Any
) -> None:
    lots = barrels(client, len(first))
    made = client.made(f"/v1/lots/{lots[0]}/top-ups", poured(lots, first))
    then = data.draw(st.lists(MG, min_size=len(first), max_size=len(first)))
    path = f"/v1/lots/{made['lot']}/top-ups"
    replaces = {"replaces": poured(lots, then), "reason": "weighed again"}
    new = client.made(f"{path}/{made['entry']}/corrections", replaces)
    assert ledger(store, [made["lot"]]) == [sum(then)]
    void = {"void": True, "reason": "nothing was poured"}
    client.made(f"{path}/{new['entry']}/corrections", void)
    assert ledger(store, [*lots, made["lot"]]) == [5_000_000] * len(lots) + [0]
