"""Running numbers, drawn inside the transaction that uses them, so that none is lost or doubled."""

from typing import ClassVar

from sqlmodel import Field, select

from service.store.columns import Row
from service.store.session import ReadSession, WriteSession

_DRAWN = "drawn numbers"


class Sequence(Row, table=True):
    """The last number given under a name."""

    __tablename__ = "sequences"
    audited: ClassVar[bool] = False

    name: str = Field(primary_key=True, max_length=60)
    last: int


def draw(session: WriteSession, name: str) -> int:
    """The next number of a named sequence, from 1."""
    held = session.exec(select(Sequence).where(Sequence.name == name).with_for_update()).first()
    if held is None:
        held = Sequence(name=name, last=0)
    held.last += 1
    session.add(held)
    return held.last


def yearly(session: WriteSession, prefix: str, year: int) -> str:
    """A record number such as D-26-009."""
    number = f"{prefix}-{year % 100:02d}-{draw(session, f'{prefix}-{year}'):03d}"
    return mark_drawn(session, number)


def mark_drawn(session: WriteSession, number: str) -> str:
    """Remember a number made in this transaction, so that a dry run can withhold it."""
    session.info.setdefault(_DRAWN, set()).add(number)
    return number


def drawn(session: ReadSession) -> frozenset[str]:
    """The numbers made in this transaction."""
    return frozenset(session.info.get(_DRAWN, ()))
