"""Many writers at once: no plan takes a lot below nothing, and no weighing is lost."""

import asyncio
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import httpx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.app import create_app
from service.settings import Settings
from service.store.session import Store
from tests.client import SCOPES, Client, key_for
from tests.makers.batches import planned, stocked
from tests.makers.stock import received

Call = tuple[str, dict[str, Any]]
GRAM_MG = 1000


class Anew:
    """Clients of services on one database that let two hundred wait for their turn; whoever waits
    there waits in one event loop, so each round gets a service of its own."""

    def __init__(self, settings: Settings, store: Store) -> None:
        self.settings, self.store = replace(settings, gate_seconds=120), store
        self.key = key_for(store, SCOPES)

    def client(self) -> Client:
        return Client(create_app(self.settings, self.store), self.key)


@pytest.fixture
def anew(settings: Settings, store: Store) -> Anew:
    return Anew(settings, store)


@pytest.fixture
def patient(anew: Anew) -> Client:
    return anew.client()


async def _at_once(client: Client, calls: Sequence[Call]) -> list[httpx.Response]:
    transport = httpx.ASGITransport(client.app)
    headers = {"Authorization": f"Bearer {client.key}"}
    async with httpx.AsyncClient(
        transport=transport, base_url="http://test", headers=headers, timeout=120
    ) as web:
        return await asyncio.gather(*(web.post(path, json=body) for path, body in calls))


def at_once(client: Client, calls: Sequence[Call]) -> list[int]:
    """All calls sent together; how each was answered."""
    return [answer.status_code for answer in asyncio.run(_at_once(client, calls))]


def off(lot: str, grams: int) -> Call:
    """A plan: the ledger is put right by so much less."""
    body = {"lot": lot, "cause": "adjustment", "amount": f"-{grams} g", "reason": "recounted"}
    return "/v1/movements", body


def ledger(client: Client, lot: str) -> list[dict[str, Any]]:
    """The whole ledger of a lot in the order of entry, amounts in mg."""
    path, found = f"/v1/movements?lot={lot}&limit=500&sort=entered_at", []
    while path:
        page = client.read(path)
        found += page["data"]
        path = (page["next"] or "").removeprefix("http://test")
    rows = sorted(found, key=lambda row: int(row["movement"].removeprefix("M-")))
    per = {"g": GRAM_MG, "kg": GRAM_MG * GRAM_MG}
    return [{**row, "mg": _mg(row["amount"], per)} for row in rows]


def _mg(amount: dict[str, str], per: dict[str, int]) -> int:
    return round(float(amount["value"]) * per[amount["unit"]])


def no_plan_below_nothing(rows: Sequence[dict[str, Any]]) -> bool:
    """Whether every plan found enough, in the order in which they came."""
    stands = 0
    for row in rows:
        stands += row["mg"]
        if row["cause"] == "adjustment" and stands < 0:
            return False
    return True


@pytest.mark.parametrize("writers", [32, 200])
def test_plans_at_once_take_no_more_than_there_is(patient: Client, writers: int) -> None:
    lot = received(patient, "OIL-LIN", "1 kg")
    answers = at_once(patient, [off(lot, 90)] * writers)
    # 11 times 90 g are in a kilogram.
    assert (answers.count(201), answers.count(409)) == (11, writers - 11)
    assert sum(row["mg"] for row in ledger(patient, lot)) == 10 * GRAM_MG


@pytest.mark.parametrize("writers", [32, 200])
def test_no_weighing_is_lost_among_plans(patient: Client, writers: int) -> None:
    lots = stocked(patient)
    batch = planned(patient, "RESIN-ZN", "1.2 kg")
    weighed: Call = (f"/v1/batches/{batch}/weighings", {"line": 1, "amount": "80 g"})
    calls = [weighed if number % 2 else off(lots["ROSIN"], 70) for number in range(writers)]
    answers = at_once(patient, calls)
    facts = answers[1::2]
    assert set(facts) == {201}
    path = f"/v1/batches/{batch}/weighings?limit=500"
    assert len(patient.read(path)["data"]) == len(facts)
    rows = ledger(patient, lots["ROSIN"])
    assert sum(row["cause"] == "weighing" for row in rows) == len(facts)
    assert no_plan_below_nothing(rows)


AMOUNTS = st.lists(st.integers(1, 400), min_size=8, max_size=20)


@settings(
    deadline=None, max_examples=5, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(amounts=AMOUNTS)
def test_in_whatever_order_plans_arrive_each_finds_what_it_takes(
    anew: Anew, amounts: list[int]
) -> None:
    client = anew.client()
    lot = received(client, "OIL-LIN", "1 kg")
    answers = at_once(client, [off(lot, grams) for grams in amounts])
    taken = sum(grams for grams, answer in zip(amounts, answers, strict=True) if answer == 201)
    assert taken <= 1000
    assert no_plan_below_nothing(ledger(client, lot))
    assert sum(row["mg"] for row in ledger(client, lot)) == (1000 - taken) * GRAM_MG
    refused = [g for g, answer in zip(amounts, answers, strict=True) if answer != 201]
    assert all(grams > 1000 - taken for grams in refused)  # what would still fit was not refused


def test_batches_planned_at_once_reserve_no_more_than_there_is(patient: Client) -> None:
    lots = stocked(patient)
    plan = ("/v1/batches", {"recipe": "RESIN-ZN", "for": "1 kg"})
    answers = at_once(patient, [plan] * 32)
    # 952 g of rosin each: five of them are in 5 kg.
    assert (answers.count(201), answers.count(409)) == (5, 27)
    rows = patient.read("/v1/stock?limit=500")["data"]
    rosin = next(row for row in rows if row["lot"] == lots["ROSIN"])
    assert rosin["reserved"]["value"] == "4760"
