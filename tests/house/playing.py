"""The numbered examples played in order on a fresh database, and what may differ between two
playings."""

import re
from dataclasses import dataclass
from typing import Any

from service import running
from service.app import create_app, create_store
from service.examples import Example, every
from service.settings import Settings
from tests.client import Client
from tests.record_examples import answer_of, operation_of

# What differs from one playing to the next: instants, digests, key ids, the year in record numbers.
_VOLATILE = re.compile(
    r"(?<=Key )\w{8}(?= )|\d{4}-\d\d-\d\dT[\d:.]+(Z|[+-]\d\d:\d\d)?|[0-9a-f]{16,64}|kmk_\w+|"
    r"(?<![A-Z0-9-])([A-Z]{1,2})-\d\d-\d{3,}"
)


@dataclass(frozen=True)
class Played:
    """One call as it was answered."""

    call: Example
    status: int
    body: Any
    operation: str


def settled(value: Any, name: str = "") -> Any:
    """The answer without what differs between two playings."""
    if isinstance(value, dict):
        return {key: settled(inner, key) for key, inner in value.items()}
    if isinstance(value, list):
        return [settled(inner, name) for inner in value]
    if isinstance(value, str) and name not in {"key_id", "key", "next", "version"}:
        return _VOLATILE.sub("…", value)
    return "…" if isinstance(value, str) else value


def play(url: str) -> list[Played]:
    """Every example, played once and in order on an empty database."""
    running.make_fit(url)
    settings = Settings(database_url=url)
    key = running.create_key(settings, "examples", "all", None)
    store = create_store(settings)
    app = create_app(settings, store)
    client, kept, found = Client(app, key), dict[str, str](), []
    for call in every():
        path = call.path_with(kept)
        answer = client.request(call.method, path, headers=dict(call.headers), **call.sending())
        body = answer_of(answer)
        kept.update(call.kept_from(body) if answer.status_code == call.status else {})
        operation = operation_of(app, call.method, path)
        found.append(Played(call, answer.status_code, body, operation))
    store.dispose()
    return found
