"""What is wrong with rows of any kind: corrections that lead nowhere, and cached search texts."""

from collections.abc import Iterator

from sqlalchemy import func
from sqlmodel import SQLModel, col, select

from service.store.columns import Numbered, Recorded, search_text
from service.store.session import ReadSession


def _mapped() -> list[type[Numbered]]:
    mapped = SQLModel._sa_registry.mappers
    found = {m.class_ for m in mapped if issubclass(m.class_, Numbered)}
    return sorted(found, key=lambda kind: str(kind.__tablename__))


def recorded() -> list[type[Recorded]]:
    """Every kind of entry of the record."""
    return [kind for kind in _mapped() if issubclass(kind, Recorded)]


def corrections(session: ReadSession) -> Iterator[str]:
    """Entries that correct nothing, themselves or what was already corrected."""
    for kind in recorded():
        table = kind.__tablename__
        twice = (
            select(kind.corrects)
            .where(col(kind.corrects).is_not(None))
            .group_by(col(kind.corrects))
            .having(func.count() > 1)
        )
        for number in session.exec(twice):
            yield f"Entry {number} of {table} is corrected twice."
        there = select(kind.id)
        lost = select(kind.id).where(
            col(kind.corrects).is_not(None)
            & (col(kind.corrects).not_in(there) | (col(kind.corrects) >= col(kind.id)))
        )
        for number in session.exec(lost):
            yield f"Entry {number} of {table} corrects an entry that was not there before it."


def search_texts(session: ReadSession) -> Iterator[str]:
    """Rows of which the text to search by is not that of their columns."""
    for kind in _mapped():
        if not getattr(kind, "searched", ()):
            continue
        for row in session.exec(select(kind)):
            if search_text(row) != getattr(row, "folded", None):
                yield f"The search text of {kind.__tablename__} {row.row_id} is out of date."
        session.expunge_all()
