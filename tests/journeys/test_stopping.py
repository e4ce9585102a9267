"""Stopped or killed while many write: whatever was acknowledged stands, in one whole file."""

import os
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import httpx
import pytest

from tests.journeys.conftest import ROOT, free_port, wait_for
from tests.served import at_once

needs_proc = pytest.mark.skipif(not Path("/proc/self").exists(), reason="/proc tells the workers")


@dataclass
class Shop:
    """A server in a process of its own, its file and a key."""

    process: subprocess.Popen[str]
    url: str
    key: str
    file: Path
    acknowledged: list[str] = field(default_factory=list)

    def written(self) -> set[str]:
        with closing(sqlite3.connect(self.file)) as database:
            assert database.execute("pragma integrity_check").fetchone() == ("ok",)
            links = database.execute("select count(*), max(number) from audit_links").fetchone()
            assert links[0] == links[1]
            return {row[0] for row in database.execute("select code from people")}


@pytest.fixture
def shop(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Shop]:
    """A server with as many workers as the test's parameter says."""
    file, port = tmp_path / "shop.sqlite", free_port()
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "KETTLEMARK_DATABASE_URL": f"sqlite:///{file}",
        "KETTLEMARK_WORKERS": str(request.param),
    }
    kettlemark = [sys.executable, "-m", "service"]
    make = [*kettlemark, "keys", "create", "--name", "x", "--scopes", "all"]
    made = subprocess.run(make, env=environment, capture_output=True, text=True, check=True)
    command = [*kettlemark, "serve", "--port", str(port)]
    with subprocess.Popen(command, env=environment, stderr=subprocess.PIPE, text=True) as process:
        found = Shop(process, f"http://127.0.0.1:{port}", made.stdout.strip(), file)
        try:
            wait_for(found.url)
            yield found
        finally:
            process.terminate()
            process.wait(20)


@contextmanager
def many_writing(shop: Shop) -> Iterator[None]:
    """Eight clients that write one row after the other, and come again when they are cut off."""
    over = threading.Event()

    def write(name: str) -> None:
        with httpx.Client(base_url=shop.url, timeout=30) as client:
            client.headers["Authorization"] = f"Bearer {shop.key}"
            for number in range(100_000):
                if over.is_set():
                    return
                code = f"{name}-{number}"
                try:
                    answer = client.post("/v1/people", json={"code": code})
                except httpx.HTTPError:
                    time.sleep(0.02)
                    continue
                assert answer.status_code == 201, answer.text
                shop.acknowledged.append(code)

    writers = [threading.Thread(target=write, args=(f"WRITER{n}",)) for n in range(8)]
    for writer in writers:
        writer.start()
    try:
        yield
    finally:
        over.set()
        for writer in writers:
            writer.join()


def workers(shop: Shop) -> list[int]:
    """The processes that serve: children of the one that was started, but for Python's tracker."""
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            parent = (folder / "stat").read_text().rsplit(")", 1)[1].split()[1]
            line = (folder / "cmdline").read_text()
        except OSError:
            continue  # it has just ended
        if int(parent) == shop.process.pid and "spawn_main" in line:
            found.append(int(folder.name))
    return found


@pytest.mark.parametrize("shop", [1, 2], indirect=True)
def test_a_stop_amid_writing_ends_clean_and_loses_nothing(shop: Shop) -> None:
    with many_writing(shop):
        time.sleep(0.5)
        shop.process.terminate()
        assert shop.process.wait(20) in {0, -signal.SIGTERM}
    assert shop.process.stderr is not None
    assert "Traceback" not in shop.process.stderr.read()
    assert [file.name for file in shop.file.parent.glob("shop*")] == ["shop.sqlite"]
    assert len(shop.acknowledged) > 8
    assert set(shop.acknowledged) <= shop.written()


@needs_proc
@pytest.mark.parametrize("shop", [2], indirect=True)
def test_a_worker_that_is_killed_loses_nothing_and_is_replaced(shop: Shop) -> None:
    people = [("POST", "/v1/people", {"code": f"MAKER-{n}"}) for n in range(50)]
    answers = at_once(shop.url, shop.key, people)
    assert [answer.text for answer in answers if answer.status_code != 201] == []
    first = workers(shop)
    assert len(first) == 2
    with many_writing(shop):
        time.sleep(0.3)
        os.kill(first[0], signal.SIGKILL)
        until = time.monotonic() + 20
        while len(set(workers(shop)) - set(first)) < 1 and time.monotonic() < until:
            time.sleep(0.1)
        before = len(shop.acknowledged)
        time.sleep(0.5)
        assert len(shop.acknowledged) > before
    assert len(workers(shop)) == 2
    assert set(shop.acknowledged) | {f"MAKER-{n}" for n in range(50)} <= shop.written()


@pytest.mark.parametrize("shop", [1], indirect=True)
def test_a_visitor_who_stalls_half_way_does_not_hold_up_a_stop(shop: Shop) -> None:

    port = int(shop.url.rsplit(":", 1)[1])
    with socket.create_connection(("127.0.0.1", port)) as stalled:
        stalled.sendall(
            b"POST /v1/people HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"
            b"Authorization: Bearer " + shop.key.encode() + b"\r\nContent-Length: 100\r\n\r\n{"
        )
        time.sleep(0.3)
        shop.process.terminate()
        assert shop.process.wait(15) in {0, -signal.SIGTERM}
    assert shop.process.stderr is not None
    assert "Traceback" not in shop.process.stderr.read()
