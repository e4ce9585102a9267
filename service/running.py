"""Running the service: a database made fit, the server started, keys handled from the shell."""

import os
from collections.abc import Iterator
from dataclasses import asdict
from datetime import UTC, datetime
from typing import Any

import uvicorn
from fastapi import FastAPI
from pydantic import ValidationError
from sqlalchemy.exc import DBAPIError

from service.app import create_app, create_store
from service.errors import Refused
from service.office.keys import actions, queries
from service.office.keys.bodies import KeyIn
from service.office.keys.rules import SCOPES
from service.settings import PREFIX, Settings, from_environment
from service.store import migrate
from service.store.lists import MOST, Ask, page
from service.store.session import Actor

_FIRST_KEY = (
    "No key exists yet. Make the first one:\n"
    '  kettlemark keys create --name "me" --scopes all --database-url {url}'
)


class Unfit(Exception):
    """The database or the request cannot be used; the message says what to do."""


def _actor(operation: str) -> Actor:
    return Actor(operation=operation, now=datetime.now(UTC), key="command line")


def make_fit(url: str) -> None:
    """Create and migrate an absent database. Raises Unfit for an older or newer one."""
    try:
        migrate.check(url)
        if migrate.standing(url) is None:
            migrate.to(url)
    except migrate.OlderDatabase as problem:
        raise Unfit(
            f"This database is older than this version: {problem}.\n"
            f"Bring it up to date (a backup is written first):\n"
            f"  kettlemark migrate --database-url {url}"
        ) from None
    except migrate.NewerDatabase as problem:
        raise Unfit(f"This version is too old for the database: {problem}.") from None
    except DBAPIError as problem:
        raise Unfit(f"The database {url} cannot be opened: {problem.orig}") from None


def prepare(settings: Settings) -> str | None:
    """Make the database fit; the hint to show when it has no key yet."""
    make_fit(settings.database_url)
    store = create_store(settings)
    try:
        with store.reading(_actor("serve")) as session:
            some = queries.any_key(session)
    finally:
        store.dispose()
    return None if some else _FIRST_KEY.format(url=settings.database_url)


def server_flags(settings: Settings) -> dict[str, Any]:
    """The flags of every server of ours: no access log, no server header."""
    return {
        "host": settings.host,
        "port": settings.port,
        "access_log": False,
        "server_header": False,
        "log_level": "warning",
    }


def from_variables() -> FastAPI:
    """The app as a worker process builds it: settings handed down by variables."""
    return create_app(from_environment(os.environ))


def serve(settings: Settings) -> None:
    """Serve until stopped."""
    if settings.workers == 1:
        uvicorn.run(create_app(settings), **server_flags(settings))
        return
    for name, value in asdict(settings).items():
        os.environ[PREFIX + name.upper()] = str(value)
    flags = server_flags(settings)
    uvicorn.run("service.running:from_variables", factory=True, workers=settings.workers, **flags)


def create_key(settings: Settings, name: str, scopes: str, person: str | None) -> str:
    """Make a key and answer its text."""
    wanted = list(SCOPES) if scopes.strip() == "all" else scopes.replace(" ", "").split(",")
    try:
        body = KeyIn(name=name, scopes=wanted, person=person)
    except ValidationError:
        raise Unfit(
            f"Scopes are {', '.join(SCOPES)}, or all; a name has 1 to 80 letters."
        ) from None
    make_fit(settings.database_url)
    store = create_store(settings)
    try:
        with store.writing(_actor("keys create")) as session:
            return actions.create_key(session, body)[1]
    except Refused as refused:
        raise Unfit(refused.detail) from None
    finally:
        store.dispose()


def list_keys(settings: Settings) -> Iterator[str]:
    """One line per key."""
    make_fit(settings.database_url)
    store = create_store(settings)
    try:
        with store.reading(_actor("keys list")) as session:
            for row in page(session, queries.LISTING, Ask(limit=MOST)).rows:
                ended = "revoked" if row.revoked_at else "in use"
                scopes = ",".join(row.scopes)
                yield f"{row.public_id}  {ended:8}  {scopes:32}  {row.name}"
    finally:
        store.dispose()


def revoke_key(settings: Settings, key_id: str) -> None:
    """End a key. Raises Unfit where there is none."""
    make_fit(settings.database_url)
    store = create_store(settings)
    try:
        with store.writing(_actor("keys revoke")) as session:
            actions.revoke_key(session, key_id)
    except Refused as refused:
        raise Unfit(refused.detail) from None
    finally:
        store.dispose()
