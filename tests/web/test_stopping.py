"""A server that stops cancels what it cannot wait for: the visitor is told, and what runs ends."""

import asyncio
import threading
from typing import Any

import httpx
import pytest
from fastapi import APIRouter

from service.office.people.actions import create_person
from service.office.people.bodies import PersonIn
from service.store.session import Store
from service.web.route import Route
from service.web.sessions import Reading, Writing
from tests.client import Client, count


class Slow:
    """Routes that hold on until they are told to go on."""

    def __init__(self) -> None:
        self.begun, self.go_on = threading.Event(), threading.Event()
        self.router = APIRouter(route_class=Route, prefix="/v1/trials")

        @self.router.post("/write", operation_id="create_person", status_code=201)
        def write(session: Writing) -> dict[str, str]:
            self._hold()
            create_person(session, PersonIn(code="MARA"))
            return {"made": "MARA"}

        @self.router.get("/read", operation_id="list_people")
        def read(session: Reading) -> dict[str, str]:
            self._hold()
            return {}

    def _hold(self) -> None:
        self.begun.set()
        assert self.go_on.wait(10)


@pytest.fixture
def slow(app: Any) -> Slow:
    found = Slow()
    app.router.routes.extend(found.router.routes)
    return found


async def cancelled(client: Client, slow: Slow, method: str, path: str) -> httpx.Response:
    """The answer to a request that is cancelled while its handler runs."""
    transport = httpx.ASGITransport(client.app)
    headers = {"Authorization": f"Bearer {client.key}"}
    async with httpx.AsyncClient(
        transport=transport, base_url="http://test", headers=headers
    ) as sender:
        asked = asyncio.create_task(sender.request(method, path))
        await asyncio.to_thread(slow.begun.wait, 10)
        asked.cancel()
        answer = await asked
        slow.go_on.set()
        others = asyncio.all_tasks() - {asyncio.current_task()}
        await asyncio.gather(*others, return_exceptions=True)
    return answer


@pytest.mark.parametrize(("method", "path"), [("POST", "write"), ("GET", "read")])
def test_whoever_waits_when_the_server_stops_is_told(
    client: Client, slow: Slow, method: str, path: str
) -> None:
    answer = asyncio.run(cancelled(client, slow, method, f"/v1/trials/{path}"))
    assert answer.status_code == 503
    assert answer.json()["type"] == "/problems/stopping"
    assert int(answer.headers["retry-after"]) > 0
    assert "x-request-id" in answer.headers


def test_what_was_being_written_is_written_whole_and_nobody_is_kept_out(
    client: Client, store: Store, slow: Slow
) -> None:
    asyncio.run(cancelled(client, slow, "POST", "/v1/trials/write"))
    assert count(store, "people") == 1
    assert client.post("/v1/people", {"code": "ILSE"}).status_code == 201
    assert store.writer.pool.checkedout() == store.reader.pool.checkedout() == 0
