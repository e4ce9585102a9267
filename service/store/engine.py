"""Engines: one for writers, one that the database itself keeps from writing."""

from typing import Any

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.pool import NullPool, QueuePool

BUSY_MS = 5_000
HIDDEN = True  # an error text with its parameters would carry names and digests into the log
# More than the readers that are let in at once, so that the keys of others can be looked up.
READ_POOL, WRITE_POOL = 20, 2
_TURN = 7_042_611  # any number, the same in every process


def normal_url(url: str) -> str:
    """The URL with our driver named; SQLite and PostgreSQL only."""
    if url.startswith("postgresql://"):
        return "postgresql+psycopg://" + url.removeprefix("postgresql://")
    return url


def writing_engine(url: str) -> Engine:
    """An engine whose every transaction is meant to write."""
    if _is_sqlite(url):
        return _sqlite(url, begin="BEGIN IMMEDIATE", pragmas=("synchronous=FULL",))
    engine = _server(url, WRITE_POOL)
    event.listen(engine, "begin", _take_turn)
    return engine


def _take_turn(connection: Any) -> None:
    """One writing transaction at a time over all processes, as `BEGIN IMMEDIATE` on SQLite: what a
    request read before it writes still holds when it commits."""
    connection.exec_driver_sql(f"set local lock_timeout = {BUSY_MS}")
    connection.exec_driver_sql(f"select pg_advisory_xact_lock({_TURN})")


def reading_engine(url: str) -> Engine:
    """An engine on which any write fails in the database."""
    if _is_sqlite(url):
        return _sqlite(url, begin="BEGIN", pragmas=("query_only=ON",))
    engine = _server(url, READ_POOL)
    # One state from the first statement to the last, as SQLite gives it.
    return engine.execution_options(postgresql_readonly=True, isolation_level="REPEATABLE READ")


def _server(url: str, places: int) -> Engine:
    """A bounded pool: a server admits some hundred connections over all processes, and whoever
    finds none free waits for one."""
    return create_engine(
        normal_url(url),
        pool_size=places,
        max_overflow=0,
        pool_pre_ping=True,
        hide_parameters=HIDDEN,
    )


def _is_sqlite(url: str) -> bool:
    return make_url(url).get_backend_name() == "sqlite"


def sqlite_file(url: str) -> str | None:
    """The file behind an SQLite URL, or None where there is none."""
    return make_url(url).database if _is_sqlite(url) else None


def _sqlite(url: str, *, begin: str, pragmas: tuple[str, ...]) -> Engine:
    in_file = bool(sqlite_file(url))
    engine = create_engine(
        url,
        hide_parameters=HIDDEN,
        poolclass=QueuePool if in_file else NullPool,
        connect_args={"check_same_thread": False, "timeout": BUSY_MS / 1000},
        **({"pool_size": 20, "max_overflow": 40} if in_file else {}),
    )

    def prepare(connection: Any, _: Any) -> None:
        # The driver's own transaction control would run a first SELECT outside the transaction.
        connection.isolation_level = None
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA foreign_keys=ON")
        for pragma in pragmas:
            connection.execute(f"PRAGMA {pragma}")

    def start(connection: Any) -> None:
        connection.exec_driver_sql(begin)

    def leave(connection: Any, _: Any) -> None:
        # A commit that failed leaves SQLite's transaction open; the next user must not inherit it.
        if connection is not None and connection.in_transaction:
            connection.rollback()

    event.listen(engine, "connect", prepare)
    event.listen(engine, "checkin", leave)
    event.listen(engine, "begin", start)
    return engine
