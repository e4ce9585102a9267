"""Many writers at once: each gets its turn or an honest refusal, and no row is lost or doubled."""

import asyncio
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from service.app import create_app
from service.errors import Busy
from service.settings import Settings
from service.store.session import Gate, Store
from tests.client import Client, count, dump
from tests.served import at_once, serving

ROOT = Path(__file__).parent.parent.parent


def check(answers: list[Any], store: Store, table: str) -> int:
    """How many succeeded; the others must be honest, and the rows exactly as many."""
    made = [answer for answer in answers if answer.status_code == 201]
    for answer in answers:
        assert answer.status_code in {201, 503}, answer.text
        assert answer.status_code == 201 or int(answer.headers["retry-after"]) > 0
    assert count(store, table) == len(made)
    return len(made)


@pytest.mark.parametrize("writers", [32, 200])
def test_each_of_many_writers_is_served_or_told_to_come_again(
    app: Any, client: Client, store: Store, writers: int
) -> None:
    people = [("POST", "/v1/people", {"code": f"MAKER-{n}"}) for n in range(writers)]
    with serving(app) as url:
        made = check(at_once(url, client.key, people), store, "people")
    assert made >= 32
    assert len(dump(store)["audit_links"]) == made + 1  # the client's key is the first


def test_readers_are_served_while_many_write(app: Any, client: Client, store: Store) -> None:
    writing = [("POST", "/v1/people", {"code": f"MAKER-{n}"}) for n in range(60)]
    reading = [("GET", "/v1/people", None)] * 140
    with serving(app) as url:
        answers = at_once(url, client.key, [*reading[:70], *writing, *reading[70:]])
    assert [a.text for a in answers if a.request.method == "GET" and a.status_code != 200] == []
    check([a for a in answers if a.request.method == "POST"], store, "people")


def test_numbers_drawn_at_once_have_neither_gaps_nor_twins(
    app: Any, client: Client, store: Store
) -> None:
    client.made("/v1/materials", {"code": "OIL-LIN", "kind": "ingredient"})
    figure = {"property": "density", "value": "0.93 kg/l", "basis": "measured", "method": "own"}
    with serving(app) as url:
        answers = at_once(url, client.key, [("POST", "/v1/materials/OIL-LIN/figures", figure)] * 40)
    numbers = sorted(answer.json()["figure"].rsplit("-", 1)[1] for answer in answers)
    assert numbers == [f"{n:03d}" for n in range(1, 41)]


def test_whoever_waits_too_long_is_told_when_to_come_again() -> None:
    async def wait() -> Busy:
        gate = Gate(0.05)
        async with gate.passed():
            with pytest.raises(Busy) as told:
                async with gate.passed():
                    raise AssertionError("two at once")
        async with gate.passed():
            return told.value

    assert asyncio.run(wait()).headers["Retry-After"] == "2"


@pytest.mark.parametrize("steps", range(6))
def test_a_visitor_who_leaves_the_queue_keeps_nobody_out(steps: int) -> None:
    async def leave() -> bool:
        gate = Gate(1.0)

        async def visit() -> None:
            async with gate.passed():
                await asyncio.sleep(0)

        async with gate.passed():
            visitors = [asyncio.create_task(visit()) for _ in range(3)]
            await asyncio.sleep(0)
            visitors[0].cancel()
        for _ in range(steps):
            await asyncio.sleep(0)
        visitors[1].cancel()
        await asyncio.gather(*visitors, return_exceptions=True)
        async with gate.passed():
            return True

    assert asyncio.run(leave())


def test_a_visitor_whose_time_ends_at_its_turn_keeps_nobody_out() -> None:
    async def race() -> bool:
        for wait in range(40):
            gate = Gate(0.002)

            async def visit(gate: Gate = gate) -> None:
                async with gate.passed():
                    pass

            async with gate.passed():
                late = asyncio.create_task(visit())
                await asyncio.sleep(0.001 + wait * 0.00005)
            await asyncio.gather(late, return_exceptions=True)
            async with gate.passed():
                continue
        return True

    assert asyncio.run(race())


def test_a_database_locked_by_another_process_is_an_honest_refusal(
    settings: Settings, store: Store, client: Client
) -> None:
    with store.writer.connect() as holding:
        holding.exec_driver_sql("update workshop set revision = revision")
        answer = client.post("/v1/people", {"code": "MARA"})
        holding.rollback()
    assert answer.status_code == 503
    assert answer.json()["type"] == "/problems/busy"
    assert int(answer.headers["retry-after"]) > 0
    assert client.post("/v1/people", {"code": "MARA"}).status_code == 201


WRITER = """
import sys
from service.app import create_store
from service.office.people.actions import create_person
from service.office.people.bodies import PersonIn
from tests.client import system
store = create_store(__import__("service.settings").settings.Settings(database_url=sys.argv[1]))
for number in range(40):
    with store.writing(system()) as session:
        create_person(session, PersonIn(code=f"{sys.argv[2]}-{number}"))
"""


def test_two_processes_on_one_file_lose_nothing(settings: Settings, store: Store) -> None:
    command = [sys.executable, "-c", WRITER, settings.database_url]
    writers = [subprocess.Popen([*command, name], cwd=ROOT) for name in ("FIRST", "SECOND")]
    assert [writer.wait(60) for writer in writers] == [0, 0]
    assert count(store, "people") == 80
    assert sorted(row[0] for row in dump(store)["audit_links"]) == list(range(1, 81))


def test_two_servers_on_one_file_lose_nothing(
    settings: Settings, app: Any, client: Client, store: Store
) -> None:
    other = create_app(replace(settings, gate_seconds=10))
    people = [("POST", "/v1/people", {"code": f"MAKER-{n}"}) for n in range(60)]
    with serving(app) as one, serving(other) as two:
        first = asyncio.run(_both(one, two, client.key, people))
    other.state.house.store.dispose()
    assert check(first, store, "people") > 30


async def _both(one: str, two: str, key: str | None, people: list[Any]) -> list[Any]:
    halves = [(one, people[::2]), (two, people[1::2])]
    found = await asyncio.gather(
        *(asyncio.to_thread(at_once, url, key, half) for url, half in halves)
    )
    return [answer for half in found for answer in half]
