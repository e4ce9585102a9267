"""Sessions: a reading and a writing type, and the only place that commits."""

import asyncio
from collections.abc import AsyncIterator, Callable, Iterator, Sequence
from contextlib import asynccontextmanager, contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from sqlmodel import Session

from service.errors import Busy
from service.store.engine import reading_engine, writing_engine


@dataclass(frozen=True, slots=True)
class Actor:
    """On whose behalf a transaction runs: a key, perhaps a person, one operation, one instant."""

    operation: str
    now: datetime
    key: str | None = None
    person: str | None = None
    scopes: frozenset[str] = frozenset()
    request_id: str | None = None
    dry_run: bool = False


class ReadSession(Session):
    """A session that the database keeps from writing."""

    @property
    def actor(self) -> Actor:
        actor: Actor = self.info["actor"]
        return actor

    @property
    def now(self) -> datetime:
        """The one instant of this request."""
        return self.actor.now


class WriteSession(ReadSession):
    """A session that may write; its transaction ends in `Store.writing` and nowhere else."""


Closing = Callable[[WriteSession], None]


class Gate:
    """Lets so many in at a time, one where nothing is said; waiting costs no thread."""

    def __init__(self, seconds: float, places: int = 1) -> None:
        self._places = asyncio.Semaphore(places)
        self._seconds = seconds

    @asynccontextmanager
    async def passed(self) -> AsyncIterator[None]:
        """Raises Busy when the turn does not come within the limit."""
        try:
            async with asyncio.timeout(self._seconds):
                await self._places.acquire()
        except TimeoutError:
            raise Busy(
                f"No turn came within {self._seconds:g} s.", headers={"Retry-After": "2"}
            ) from None
        try:
            yield
        finally:
            self._places.release()


@dataclass
class Store:
    """Both engines of one database; `closing` runs last in each transaction, before its commit."""

    url: str
    closing: Sequence[Closing] = ()
    reader: Any = field(init=False)
    writer: Any = field(init=False)

    def __post_init__(self) -> None:
        self.reader = reading_engine(self.url)
        self.writer = writing_engine(self.url)

    @contextmanager
    def reading(self, actor: Actor) -> Iterator[ReadSession]:
        with ReadSession(self.reader, info={"actor": actor}, expire_on_commit=False) as session:
            yield session

    def open_writing(self, actor: Actor) -> WriteSession:
        return WriteSession(self.writer, info={"actor": actor}, expire_on_commit=False)

    def finish(self, session: WriteSession) -> None:
        """Seal and commit; a dry run is rolled back at this very place."""
        session.flush()  # all rows must stand before they are sealed
        if session.actor.dry_run:
            session.rollback()
            return
        for close in self.closing:
            close(session)
        session.commit()

    @contextmanager
    def writing(self, actor: Actor) -> Iterator[WriteSession]:
        """One whole transaction for callers outside HTTP (commands, tests)."""
        with self.open_writing(actor) as session:
            yield session
            self.finish(session)

    def dispose(self) -> None:
        self.reader.dispose()
        self.writer.dispose()
