"""Journeys see the service from outside: a real server on loopback, HTTP only."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx
import pytest

ROOT = Path(__file__).parent.parent.parent

# Generated calls come faster than any caller's share of the sums.
SETTINGS = {"PYTHONPATH": str(ROOT), "KETTLEMARK_CALCULATIONS_PER_MINUTE": "0"}


@dataclass(frozen=True)
class Served:
    """A served demo: where, with which key, which lots are published."""

    url: str
    key: str
    lots: list[str]

    def get(self, path: str, **more: Any) -> httpx.Response:
        return httpx.get(self.url + path, timeout=30, **more)


def start(command: list[str], folder: Path) -> tuple[subprocess.Popen[str], dict[str, Any]]:
    """Start a command that prints one line of JSON and then serves."""
    running = subprocess.Popen(
        command,
        cwd=folder,
        env={**os.environ, **SETTINGS},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert running.stdout is not None
    line = running.stdout.readline()
    if not line:
        raise AssertionError(running.communicate()[1])
    return running, json.loads(line)


def stop(running: subprocess.Popen[str]) -> None:
    running.terminate()
    running.communicate(timeout=20)


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The demo as a user starts it, on a free port."""
    folder = tmp_path_factory.mktemp("demo")
    command = [sys.executable, "-m", "service", "demo", "--json", "--port", "0"]
    running, said = start([*command, "--folder", str(folder / "shop")], folder)
    yield Served(said["base_url"], said["api_key"], said["lots"])
    stop(running)


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Served]:
    """A server on an absent database, which it makes, and a first key from the command."""
    database = f"sqlite:///{tmp_path / 'shop.sqlite'}"
    kettlemark = [sys.executable, "-m", "service"]
    environment = {**os.environ, **SETTINGS, "KETTLEMARK_DATABASE_URL": database}
    made = subprocess.run(
        [*kettlemark, "keys", "create", "--name", "tour", "--scopes", "all"],
        env=environment,
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    port = free_port()
    running = subprocess.Popen(
        [*kettlemark, "serve", "--port", str(port)],
        env=environment,
        cwd=tmp_path,
        stderr=subprocess.PIPE,
        text=True,
    )
    url = f"http://127.0.0.1:{port}"
    wait_for(url)
    yield Served(url, made.stdout.strip(), [])
    stop(running)


def free_port() -> int:
    import socket

    with socket.create_server(("127.0.0.1", 0)) as listening:
        port: int = listening.getsockname()[1]
    return port


def wait_for(url: str) -> None:
    with httpx.Client(transport=httpx.HTTPTransport(retries=100)) as client:
        for _ in range(200):
            try:
                client.get(url + "/health/ready").raise_for_status()
                return
            except httpx.HTTPError:
                continue
    raise AssertionError(f"{url} does not answer")
