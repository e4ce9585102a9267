"""Many deliveries, and many top-ups, at once."""

import asyncio
from typing import Any

import httpx

from tests.client import Client
from tests.makers.stock import SUPPLIER, goods
from tests.makers.top_ups import NEW, OLD, left, oils

MANY = 32
NOTE = {"from": SUPPLIER, "lines": [{"material": "OIL-LIN", "amount": "1 kg"}]}


async def _all_at_once(client: Client, path: str, body: Any) -> list[httpx.Response]:
    transport = httpx.ASGITransport(client.app)
    headers = {"Authorization": f"Bearer {client.key}"}
    async with httpx.AsyncClient(
        transport=transport, base_url="http://test", headers=headers, timeout=30
    ) as web:
        return await asyncio.gather(*(web.post(path, json=body) for _ in range(MANY)))


def test_parallel_deliveries_get_numbers_of_their_own(client: Client) -> None:
    goods(client, "OIL-LIN")
    answers = asyncio.run(_all_at_once(client, "/v1/receipts", NOTE))
    assert {answer.status_code for answer in answers} == {201}
    bodies = [answer.json() for answer in answers]
    assert len({body["receipt"] for body in bodies}) == MANY
    lots = {body["lots"][0]["lot"] for body in bodies}
    assert {number[12:14] for number in lots} == {f"{count:02d}" for count in range(1, MANY + 1)}
    assert len(client.read("/v1/lots?limit=500")["data"]) == MANY


def test_parallel_top_ups_never_pour_more_than_there_is(client: Client) -> None:
    oils(client)
    body = {"heel": "40 g", "with": [{"lot": NEW, "amount": "200 g"}]}
    answers = asyncio.run(_all_at_once(client, f"/v1/lots/{OLD}/top-ups", body))
    codes = [answer.status_code for answer in answers]
    # 3 kg are good for fifteen times 200 g
    assert (codes.count(201), codes.count(409)) == (15, MANY - 15)
    assert (left(client, NEW), left(client, OLD)) == ("0", "600")
    made = [answer.json()["lot"] for answer in answers if answer.status_code == 201]
    assert len(set(made)) == 15
