"""Many deliveries at once."""

import asyncio

import httpx

from tests.client import Client
from tests.makers.stock import SUPPLIER, goods

MANY = 32
NOTE = {"from": SUPPLIER, "lines": [{"material": "OIL-LIN", "amount": "1 kg"}]}


async def _all_at_once(client: Client) -> list[httpx.Response]:
    transport = httpx.ASGITransport(client.app)
    headers = {"Authorization": f"Bearer {client.key}"}
    async with httpx.AsyncClient(
        transport=transport, base_url="http://test", headers=headers, timeout=30
    ) as web:
        return await asyncio.gather(*(web.post("/v1/receipts", json=NOTE) for _ in range(MANY)))


def test_parallel_deliveries_get_numbers_of_their_own(client: Client) -> None:
    goods(client, "OIL-LIN")
    answers = asyncio.run(_all_at_once(client))
    assert {answer.status_code for answer in answers} == {201}
    bodies = [answer.json() for answer in answers]
    assert len({body["receipt"] for body in bodies}) == MANY
    lots = {body["lots"][0]["lot"] for body in bodies}
    assert {number[12:14] for number in lots} == {f"{count:02d}" for count in range(1, MANY + 1)}
    assert len(client.read("/v1/lots?limit=500")["data"]) == MANY
