"""The demo: a fresh database, the invented scenario played over HTTP, then served.

The workshop, its people and all its figures are invented.
"""

import json
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click
import httpx
import uvicorn

from service import running
from service.app import create_app
from service.examples import Example, load
from service.settings import Settings

Tell = Callable[[str], None]
_STREAM, _PART, _TRIES = "store_cook_points", 40, 20


class Failed(Exception):
    """A call of the scenario was not answered as it should have been."""


def run(settings: Settings, *, folder: str, once: bool, as_json: bool) -> int:
    """Make, play, and serve unless `once`; the exit code."""
    tell: Tell = (lambda line: click.echo(line, err=True)) if as_json else click.echo
    database = _fresh(Path(folder))
    settings = replace(settings, database_url=f"sqlite:///{database}", workers=1)
    tell(f"A fresh database: {database}")
    running.make_fit(settings.database_url)
    key = running.create_key(settings, "demo", "all", None)
    with _serving(settings) as (base_url, wait):
        try:
            play(base_url, key, load(), tell=tell)
            lots = check(base_url, key)
        except (Failed, httpx.HTTPError) as problem:
            click.echo(f"The demo failed: {problem}", err=True)
            return 1
        _report(base_url, key, lots, as_json=as_json)
        if not once:
            tell("Serving; stop with Ctrl-C.")
            wait()
    return 0


def _fresh(folder: Path) -> Path:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise running.Unfit(f"No folder can be made at {folder}: {problem.strerror}.") from None
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S")
    for count in range(1, 1000):
        file = folder / f"workshop-{stamp}{'' if count == 1 else f'-{count}'}.sqlite"
        if not file.exists():
            return file.resolve()
    raise running.Unfit(f"There is no free name for a database in {folder}.")


@contextmanager
def _serving(settings: Settings) -> Iterator[tuple[str, Callable[[], None]]]:
    listening = running.listen(settings.host, settings.port)
    host, port = listening.getsockname()[:2]
    flags = running.server_flags(settings)
    server = uvicorn.Server(uvicorn.Config(create_app(settings), **flags))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()

    def wait() -> None:
        try:
            while thread.is_alive():
                thread.join(0.5)
        except KeyboardInterrupt:
            click.echo("Stopping.")

    try:
        while not server.started and thread.is_alive():
            time.sleep(0.02)
        yield f"http://{host}:{port}", wait
    finally:
        server.should_exit = True
        thread.join(10)


def play(base_url: str, key: str, calls: Sequence[Example], *, tell: Tell) -> dict[str, str]:
    """Play every call in order; the values kept. Raises Failed at the first that goes wrong."""
    kept: dict[str, str] = {}
    with httpx.Client(base_url=base_url, timeout=30) as client:
        for call in calls:
            if call.operation == _STREAM:
                answer = deliver(base_url, key, call, tell=tell)
            else:
                answer = send(client, key, call, kept)
            if answer.status_code != call.status:
                raise Failed(
                    f"{call.file}: {call.method} {call.path} answered {answer.status_code}, "
                    f"not {call.status}: {answer.text[:600]}"
                )
            if call.keep:
                kept.update(call.kept_from(answer.json()))
            if call.method != "GET":
                tell(f"  {call.title}")
    return kept


class Dropping(httpx.BaseTransport):
    """The wifi of a workshop: what is asked arrives, but of three answers two are lost."""

    def __init__(self, inner: httpx.BaseTransport) -> None:
        self._inner, self.asked = inner, 0

    def handle_request(self, request: httpx.Request) -> httpx.Response:
        response = self._inner.handle_request(request)
        self.asked += 1
        if self.asked % 3:
            response.close()
            raise httpx.ReadTimeout("the answer was lost", request=request)
        return response

    def close(self) -> None:
        self._inner.close()


def deliver(base_url: str, key: str, call: Example, *, tell: Tell) -> httpx.Response:
    """Send a logger's points as it would: a few at a time, each again until it was answered."""
    rows = call.request["rows"]
    parts = [rows[first : first + _PART] for first in range(0, len(rows), _PART)]
    link = Dropping(httpx.HTTPTransport())
    with httpx.Client(base_url=base_url, transport=link, timeout=30) as client:
        for part in parts:
            body = {**call.request, "rows": part}
            answer = _until_answered(client, key, replace(call, request=body))
            if answer.is_error:
                break
    lost = link.asked - len(parts)
    tell(f"  {len(rows)} points of {call.request['device']}; {lost} answers were lost on the way")
    return answer


def _until_answered(client: httpx.Client, key: str, call: Example) -> httpx.Response:
    """The first answer that comes through; Failed where none does."""
    for _ in range(_TRIES):
        try:
            return send(client, key, call, {})
        except httpx.TransportError:
            continue
    raise Failed(f"{call.file}: no answer in {_TRIES} tries")


def send(client: httpx.Client, key: str, call: Example, kept: dict[str, str]) -> httpx.Response:
    """Send one call of the scenario."""
    headers = {"Authorization": f"Bearer {key}", **call.headers}
    return client.request(call.method, call.path_with(kept), headers=headers, **call.sending())


def check(base_url: str, key: str) -> list[dict[str, Any]]:
    """The released packed lots, each seen on its public page without a key."""
    headers = {"Authorization": f"Bearer {key}"}
    with httpx.Client(base_url=base_url, timeout=30) as client:
        query = {"kind": "packed", "quality": "released"}
        found = client.get("/v1/lots", params=query, headers=headers).json()["data"]
        if not found:
            raise Failed("no released packed lot came out of the scenario")
        for lot in found:
            sheet = client.get(f"/l/{lot['lot']}.json")
            page = client.get(f"/l/{lot['lot']}")
            if sheet.status_code != 200 or page.status_code != 200 or not sheet.json()["saw"]:
                raise Failed(f"the public sheet of {lot['lot']} is not as it should be")
    return list(found)


def _report(base_url: str, key: str, lots: list[dict[str, Any]], *, as_json: bool) -> None:
    numbers = [lot["lot"] for lot in lots]
    if as_json:
        print(json.dumps({"base_url": base_url, "api_key": key, "lots": numbers}))
        sys.stdout.flush()
        return
    lot = numbers[0]
    click.echo(f"\nReleased and published: {', '.join(numbers)}")
    click.echo(f"  the page of a jar:   {base_url}/l/{lot}")
    click.echo(f"  the same as JSON:    {base_url}/l/{lot}.json")
    click.echo(f"  the same as CSV:     {base_url}/l/{lot}.csv")
    click.echo(f"  the API page:        {base_url}/docs")
    click.echo(f"  a key with every scope, for trying things out:\n  {key}\n")
