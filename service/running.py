"""Running the service: a database made fit, the server started, keys handled from the shell."""

import os
import socket
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any

import uvicorn
from fastapi import FastAPI
from pydantic import ValidationError
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, DBAPIError

from service.app import create_app, create_store
from service.errors import Refused
from service.office.keys import actions, queries
from service.office.keys.bodies import KeyIn
from service.office.keys.rules import SCOPES
from service.settings import Settings, as_environment, from_environment
from service.store import migrate
from service.store.engine import sqlite_file
from service.store.lists import MOST, Ask, page
from service.store.session import Actor, Store
from service.verifying import first_fault

_FIRST_KEY = (
    "No key exists yet. Make the first one:\n"
    '  kettlemark keys create --name "me" --scopes all --database-url {url}'
)


STOP_SECONDS = 8  # less than the 10 s after which containers are killed


class Unfit(Exception):
    """The database or the request cannot be used; the message says what to do."""


class FaultFound(Exception):
    """What stands in the database does not follow from itself; the message says where."""


def _actor(operation: str) -> Actor:
    return Actor(operation=operation, now=datetime.now(UTC), key="command line")


@contextmanager
def _usable(url: str) -> Iterator[None]:
    """Says in one sentence why a database cannot be used. Raises Unfit."""
    try:
        yield
    except DBAPIError as problem:
        reason = " ".join(str(problem.orig).split())
        raise Unfit(f"The database {_named(url)} cannot be used: {reason}") from None


def _named(url: str) -> str:
    """A database as messages name it, without its password."""
    return make_url(url).render_as_string(hide_password=True)


def _check_url(url: str) -> None:
    """Raises Unfit for a URL that names no database that outlives the process."""
    try:
        on_server = not make_url(url).drivername.startswith("sqlite")
        named = on_server or sqlite_file(url) not in {None, "", ":memory:"}
    except (ArgumentError, ValueError):
        named = False  # what is wrong is not said: the text may hold a password
    if not named:
        raise Unfit("The database URL must be sqlite:///FILE or postgresql://USER@HOST/NAME.")
    if on_server:
        try:
            import psycopg  # noqa: F401  # the driver, an extra of its own
        except ImportError:
            raise Unfit('PostgreSQL needs its driver: pip install "kettlemark[postgres]"') from None


def make_fit(url: str) -> None:
    """Create and migrate an absent database. Raises Unfit for an older or newer one."""
    _check_url(url)
    try:
        with _usable(url):
            migrate.check(url)
            if migrate.standing(url) is None:
                migrate.to(url)
    except migrate.OlderDatabase as problem:
        raise Unfit(
            f"This database is older than this version: {problem}.\n"
            f"Bring it up to date (a backup is written first):\n"
            f"  kettlemark migrate --database-url {_named(url)}"
        ) from None
    except migrate.NewerDatabase as problem:
        raise Unfit(f"This version is too old for the database: {problem}.") from None


def bring_up(url: str) -> Iterator[str]:
    """Migrate to the newest shape, a backup first; what was done, line by line. Raises Unfit."""
    _check_url(url)
    with _usable(url):
        try:
            migrate.check(url)
            needed = migrate.standing(url) is None
        except migrate.OlderDatabase:
            needed = True
        except migrate.NewerDatabase as problem:
            raise Unfit(f"This version is too old: {problem}.") from None
        if not needed:
            yield "The database is up to date."
            return
        try:
            copy = migrate.backup(url)
        except OSError as problem:
            raise Unfit(f"No backup could be written, nothing was changed: {problem}") from None
        if copy:
            yield f"Backup: {copy}"
        migrate.to(url)
        yield f"The database stands at {migrate.head()}."


def back_up(url: str) -> str:
    """Write a checked copy beside an SQLite file, also while the service runs; where it stands.

    Raises Unfit where there is no such file, or none can be written.
    """
    _check_url(url)
    try:
        with _usable(url):
            copy = migrate.backup(url)
    except (OSError, sqlite3.Error) as problem:
        raise Unfit(f"No backup could be written: {problem}") from None
    if copy is None:
        raise Unfit(f"{_named(url)} is no SQLite file that is here; a server has pg_dump.")
    return str(copy)


def verify(url: str) -> Iterator[str]:
    """Recompute the record, part by part; what holds, line by line. Nothing is made or changed.

    Raises Unfit where there is no record to read, FaultFound at the first fault.
    """
    _check_url(url)
    with _usable(url):
        try:
            migrate.check(url)
            absent = migrate.standing(url) is None
        except migrate.OlderDatabase as problem:
            raise Unfit(f"{problem}; bring it up to date first: kettlemark migrate.") from None
        except migrate.NewerDatabase as problem:
            raise Unfit(f"This version is too old: {problem}.") from None
        if absent:
            raise Unfit(f"There is no record at {_named(url)}.")
    store, held = Store(url), list[str]()
    try:
        with _usable(url), store.reading(_actor("verify")) as session:
            fault = first_fault(session, held.append)
    finally:
        store.dispose()
    yield from held
    if fault is not None:
        raise FaultFound(fault)


@contextmanager
def _opened(settings: Settings) -> Iterator[Store]:
    """The store of a database made fit, for one command. Raises Unfit."""
    make_fit(settings.database_url)
    store = create_store(settings)
    try:
        with _usable(settings.database_url):
            yield store
    except Refused as refused:
        raise Unfit(refused.detail) from None
    finally:
        store.dispose()


def prepare(settings: Settings) -> str | None:
    """Make the database fit; the hint to show when it has no key yet.

    Raises Unfit, also where it can be read but not written.
    """
    with _opened(settings) as store:
        with store.reading(_actor("serve")) as session:
            some = queries.any_key(session)
        with store.writer.connect() as connection:
            connection.exec_driver_sql("update workshop set id = id where id < 0")
    return None if some else _FIRST_KEY.format(url=_named(settings.database_url))


def server_flags(settings: Settings) -> dict[str, Any]:
    """The flags of every server of ours: no access log, no server header."""
    return {
        "host": settings.host,
        "port": settings.port,
        "access_log": False,
        "server_header": False,
        "log_level": "warning",
        # A visitor who stalls half way must not keep a stop waiting for ever.
        "timeout_graceful_shutdown": STOP_SECONDS,
    }


def from_variables() -> FastAPI:
    """The app as a worker process builds it: settings handed down by variables."""
    return create_app(from_environment(os.environ))


def serve(settings: Settings) -> None:
    """Serve until stopped. Raises Unfit where nothing can listen at the address."""
    _check_address(settings.host, settings.port)
    if settings.workers == 1:
        uvicorn.run(create_app(settings), **server_flags(settings))
        return
    os.environ.update(as_environment(settings))
    flags = server_flags(settings)
    uvicorn.run("service.running:from_variables", factory=True, workers=settings.workers, **flags)


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens at an address. Raises Unfit."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family)
    except OSError as problem:
        number = problem.errno or 0  # negative where the name has no address
        reason = os.strerror(number) if number > 0 else problem.strerror
        raise Unfit(
            f"Nothing can listen at {host}, port {port}: {reason}.\n"
            "Name another with --host and --port (KETTLEMARK_HOST, KETTLEMARK_PORT)."
        ) from None


def _check_address(host: str, port: int) -> None:
    listen(host, port).close()


def _key_asked_for(name: str, scopes: str, person: str | None) -> KeyIn:
    """Raises Unfit, naming what is wrong."""
    wanted = list(SCOPES) if scopes.strip() == "all" else scopes.replace(" ", "").split(",")
    try:
        return KeyIn.model_validate({"name": name, "scopes": wanted, "person": person})
    except ValidationError as problem:
        what = {
            "name": "A name has 1 to 80 letters.",
            "scopes": f"Scopes are {', '.join(SCOPES)}, or all; not {scopes!r}.",
            "person": f"{person!r} cannot be anyone's code.",
        }
        wrong = {str(error["loc"][0]) for error in problem.errors()}
        raise Unfit(" ".join(said for field, said in what.items() if field in wrong)) from None


def create_key(settings: Settings, name: str, scopes: str, person: str | None) -> str:
    """Make a key and answer its text. Raises Unfit."""
    body = _key_asked_for(name, scopes, person)
    with _opened(settings) as store, store.writing(_actor("keys create")) as session:
        return actions.create_key(session, body)[1]


def list_keys(settings: Settings) -> Iterator[str]:
    """One line per key. Raises Unfit."""
    with _opened(settings) as store, store.reading(_actor("keys list")) as session:
        for row in page(session, queries.LISTING, Ask(limit=MOST)).rows:
            ended = "revoked" if row.revoked_at else "in use"
            scopes = ",".join(row.scopes)
            yield f"{row.public_id}  {ended:8}  {scopes:32}  {row.name}"


def revoke_key(settings: Settings, key_id: str) -> None:
    """End a key. Raises Unfit where there is none."""
    with _opened(settings) as store, store.writing(_actor("keys revoke")) as session:
        actions.revoke_key(session, key_id)
