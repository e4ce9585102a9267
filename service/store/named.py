"""Named things: found by code, made once, changed by merge patch, archived, seldom deleted."""

import functools
from collections.abc import Mapping
from typing import Any, TypeVar

from sqlalchemy import bindparam
from sqlalchemy.exc import IntegrityError
from sqlmodel import select
from sqlmodel.sql.expression import SelectOfScalar

from service.errors import CodeTaken, InUse, NotFound, at
from service.store.columns import Named
from service.store.session import ReadSession, WriteSession

N = TypeVar("N", bound=Named)


@functools.cache
def _by_code(table: type[N]) -> SelectOfScalar[N]:
    return select(table).where(table.code == bindparam("code"))


def find(session: ReadSession, table: type[N], code: str) -> N | None:
    return session.exec(_by_code(table), params={"code": code.strip().upper()}).first()


def get(session: ReadSession, table: type[N], code: str, *, missing: type[NotFound]) -> N:
    """Raises the slice's own kind of NotFound."""
    if (row := find(session, table, code)) is None:
        raise missing(f"There is nothing under the code {code[:40]!r}.")
    return row


def check_free(session: ReadSession, table: type[Named], code: str) -> None:
    """Raises CodeTaken."""
    if find(session, table, code) is not None:
        faults = at("#/code", f"{code} is already in use.", "code-taken")
        raise CodeTaken(f"The code {code} is already in use.", faults)


def change(session: WriteSession, row: Named, changes: Mapping[str, Any]) -> None:
    """Apply a merge patch; `archived` becomes the instant at which it was."""
    for name, value in changes.items():
        if name == "archived":
            row.archived_at = (row.archived_at or session.now) if value else None
        else:
            setattr(row, name, value)
    session.add(row)
    session.flush()  # the answer carries the new revision


def delete(session: WriteSession, row: Named) -> None:
    """Raises InUse where anything points at it; the database's foreign keys are the judge."""
    code = row.code
    try:
        with session.begin_nested():
            session.delete(row)
            session.flush()  # the foreign keys speak here, inside the savepoint
    except IntegrityError:
        raise InUse(f"Something points at {code}; archive it instead.") from None
