"""Lists: one declaration drives the SQL, the OpenAPI parameters, the cursor and the tests."""

import base64
import binascii
import hashlib
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Generic, TypeVar, get_args

from sqlalchemy import ColumnElement, and_, or_
from sqlmodel import col, select

from service.errors import Refused
from service.store.columns import Named, Numbered, folded
from service.store.session import ReadSession

R = TypeVar("R", bound=Numbered)
DEFAULT_LIMIT, MOST = 50, 500


class BadCursor(Refused):
    """A cursor that was not made by this list with these filters."""

    slug = "bad-cursor"
    title = "This cursor does not belong to this list"
    status = 400
    about = (
        "A cursor is only good for the list, filters and order it came with. Follow the `next` "
        "address of an answer as it stands, or start again without `cursor`."
    )


@dataclass(frozen=True)
class Listing(Generic[R]):
    """What a list can be filtered and sorted by.

    Sort columns are never null, but for the `partial` ones: sorted by one of them, the list holds
    the rows that have it.
    """

    name: str
    row: type[R]
    sorts: Sequence[str]
    default_sort: str
    filters: Mapping[str, Any] = field(default_factory=dict)  # name -> annotation
    times: Sequence[str] = ()
    partial: Sequence[str] = ()

    @property
    def searchable(self) -> bool:
        return hasattr(self.row, "folded")

    @property
    def archivable(self) -> bool:
        return issubclass(self.row, Named)

    def kind(self, sort: str) -> type:
        """The type of a sort column."""
        written: Any = self.row.model_fields[sort.removeprefix("-")].annotation
        for kind in get_args(written) or (written,):
            if kind in _READ:
                found: type = kind
                return found
        raise TypeError(f"{self.name} cannot be sorted by {sort}")

    def column(self, name: str) -> Any:
        return col(getattr(self.row, name))


@dataclass(frozen=True)
class Ask:
    """One page that is asked for, of the list at an address."""

    place: str = ""
    limit: int = DEFAULT_LIMIT
    cursor: str | None = None
    sort: str | None = None
    q: str | None = None
    archived: str = "no"
    equal: Mapping[str, Any] = field(default_factory=dict)
    since: Mapping[str, datetime] = field(default_factory=dict)
    until: Mapping[str, datetime] = field(default_factory=dict)

    def fingerprint(self) -> str:
        asked = [
            self.place,
            self.sort,
            self.q,
            self.archived,
            *map(_sorted, (self.equal, self.since)),
        ]
        text = json.dumps([*asked, _sorted(self.until)], default=str)
        return hashlib.sha256(text.encode()).hexdigest()[:12]


@dataclass(frozen=True)
class Page(Generic[R]):
    """Rows of one page and the cursor of the next, or None at the end."""

    rows: Sequence[R]
    next_cursor: str | None


def _sorted(pairs: Mapping[str, Any]) -> list[tuple[str, str]]:
    return sorted((name, str(value)) for name, value in pairs.items())


def page(
    session: ReadSession, listing: Listing[R], ask: Ask, *, where: Sequence[Any] = ()
) -> Page[R]:
    """One page by key set: rows that come and go while one walks are never seen twice."""
    sort = ask.sort or listing.default_sort
    column, falling = listing.column(sort.removeprefix("-")), sort.startswith("-")
    number = listing.column("id")
    statement = select(listing.row).where(*where, *_conditions(listing, ask))
    if sort.removeprefix("-") in listing.partial:
        statement = statement.where(column.is_not(None))
    if ask.cursor:
        value, last = _opened(listing, ask, sort)
        statement = statement.where(
            _beyond(column, number, value=value, last=last, falling=falling)
        )
    order = (column.desc(), number.desc()) if falling else (column, number)
    rows = session.exec(statement.order_by(*order).limit(ask.limit + 1)).all()
    more = len(rows) > ask.limit
    rows = rows[: ask.limit]
    return Page(rows, _sealed(ask, sort, rows[-1]) if more else None)


def every(session: ReadSession, listing: Listing[R], ask: Ask) -> Iterator[R]:
    """All rows that are asked for, a page at a time: none is held longer than its page."""
    at: str | None = None
    while True:
        found = page(session, listing, replace(ask, limit=MOST, cursor=at))
        yield from found.rows
        session.expunge_all()
        if (at := found.next_cursor) is None:
            return


def _conditions(listing: Listing[R], ask: Ask) -> list[ColumnElement[bool]]:
    found: list[ColumnElement[bool]] = []
    found += [listing.column(name) == value for name, value in ask.equal.items()]
    found += [listing.column(name) >= value for name, value in ask.since.items()]
    found += [listing.column(name) < value for name, value in ask.until.items()]
    if listing.searchable and ask.q:
        words = folded(ask.q).split()
        found += [listing.column("folded").contains(word, autoescape=True) for word in words]
    if listing.archivable and ask.archived != "all":
        at = listing.column("archived_at")
        found.append(at.is_(None) if ask.archived == "no" else at.is_not(None))
    return found


def _beyond(column: Any, number: Any, *, value: Any, last: int, falling: bool) -> Any:
    if falling:
        return or_(column < value, and_(column == value, number < last))
    return or_(column > value, and_(column == value, number > last))


def _sealed(ask: Ask, sort: str, row: Numbered) -> str:
    value, last = str(getattr(row, sort.removeprefix("-"))), row.row_id
    packed = json.dumps([_mark(ask, value, last), value, last])
    return base64.urlsafe_b64encode(packed.encode()).decode().rstrip("=")


def _mark(ask: Ask, value: str, last: int) -> str:
    return hashlib.sha256(f"{ask.fingerprint()} {last} {value}".encode()).hexdigest()[:16]


_READ: Mapping[type, Callable[[str], Any]] = {
    str: str,
    int: int,
    Decimal: Decimal,
    date: date.fromisoformat,
    datetime: datetime.fromisoformat,
}


def _opened(listing: Listing[R], ask: Ask, sort: str) -> tuple[Any, int]:
    cursor, read = ask.cursor or "", _READ[listing.kind(sort)]
    try:
        padded = cursor + "=" * (-len(cursor) % 4)
        mark, value, last = json.loads(base64.urlsafe_b64decode(padded))
        if mark != _mark(ask, value, int(last)):
            raise ValueError("another list")
        return read(value), last
    except (ValueError, TypeError, ArithmeticError, RecursionError, binascii.Error):
        raise BadCursor(
            f"The cursor does not belong to this list in the order {sort!r} with these filters."
        ) from None
