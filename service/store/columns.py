"""Column types and the parents of all rows: exact numbers, UTC instants, folded search text."""

import unicodedata
from datetime import UTC, datetime
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any, ClassVar

from sqlalchemy import BigInteger, DateTime, MetaData, String, event
from sqlalchemy.engine import Dialect
from sqlalchemy.orm import Mapper
from sqlalchemy.types import TypeDecorator
from sqlmodel import Field, SQLModel

# Constraints get names by rule, so that a migration can name what it drops on every database.
SQLModel.metadata.naming_convention = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
).naming_convention

SCALE = Decimal(10) ** 9
NINE_PLACES = 1 / SCALE
SCALED_LIMIT = Decimal(9_000_000_000)


def nine_places(value: Decimal) -> Decimal:
    """A decimal as a column keeps it: rounded half to even at the ninth place."""
    return value.quantize(NINE_PLACES, ROUND_HALF_EVEN)


class Scaled(TypeDecorator[Decimal]):
    """A decimal kept as an integer of 1e-9, so that it compares, sums and sorts exactly.

    Range -9e9 to 9e9, else a ValueError before the database. What goes on after nine decimals is
    rounded: a density in pounds per gallon never ends in kg/l.
    """

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> int | None:
        if value is None:
            return None
        if not abs(value) <= SCALED_LIMIT:
            raise ValueError(f"{value} is not within 9e9")
        return int(nine_places(Decimal(value)) * SCALE)

    def process_result_value(self, value: int | None, dialect: Dialect) -> Decimal | None:
        return None if value is None else (Decimal(value) / SCALE).normalize() + 0


class Instant(TypeDecorator[datetime]):
    """An instant in UTC; a naive datetime is a programming error and raises ValueError."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("an instant needs its zone")
        return value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        return None if value is None else value.replace(tzinfo=UTC)


class Codes(TypeDecorator[tuple[str, ...]]):
    """A short ordered list of codes, kept as words in one text; never filtered by."""

    impl = String(400)
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        return None if value is None else " ".join(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> tuple[str, ...] | None:
        return None if value is None else tuple(value.split())


class Row(SQLModel):
    """The parent of every table."""

    __tablename__: ClassVar[Any]
    audited: ClassVar[bool] = True
    withheld: ClassVar[frozenset[str]] = frozenset()
    # Columns that change with what they follow from; the trail is not told of that row by row.
    follows: ClassVar[frozenset[str]] = frozenset()
    # Whether its first rows may be those of a migration, of which the trail is not told.
    begun_by_migration: ClassVar[bool] = False


class Numbered(Row):
    """A row with an integer key of its own."""

    id: int | None = Field(default=None, primary_key=True)

    @property
    def row_id(self) -> int:
        """The integer key; only asked of rows that stand in the database."""
        if self.id is None:
            raise LookupError("the row has not been written yet")
        return self.id


class Named(Numbered):
    """A named thing: a code for ever, a revision that ETags are made from, archived not deleted."""

    code: str = Field(max_length=20, unique=True, index=True)
    revision: int = Field(default=1)
    created_at: datetime = Field(sa_type=Instant)
    archived_at: datetime | None = Field(default=None, sa_type=Instant)
    folded: str = Field(default="", max_length=600)


class Recorded(Numbered):
    """An entry of the record: who, when it happened, when entered; corrected, never edited."""

    by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    happened_at: datetime = Field(sa_type=Instant, index=True)
    entered_at: datetime = Field(sa_type=Instant)
    entered_from: str = Field(default="api", max_length=12)
    about_seconds: int | None = Field(default=None)
    corrects: int | None = Field(default=None, index=True)
    void: bool = Field(default=False)
    reason: str | None = Field(default=None, max_length=600)


def folded(text: str) -> str:
    """Text without case and accents, for searching."""
    bare = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in bare if not unicodedata.combining(letter))


def search_text(row: Any) -> str:
    """What a row is found by, from the columns that its table names."""
    names = getattr(type(row), "searched", ())
    return folded(" ".join(str(getattr(row, name) or "") for name in names))[:600]


def _fold(_: Mapper[Any], __: Any, row: Any) -> None:
    if getattr(type(row), "searched", ()):
        row.folded = search_text(row)


def _next_revision(_: Mapper[Any], __: Any, row: Any) -> None:
    if isinstance(row, Named):
        row.revision += 1


event.listen(SQLModel, "before_insert", _fold, propagate=True)
event.listen(SQLModel, "before_update", _fold, propagate=True)
event.listen(SQLModel, "before_update", _next_revision, propagate=True)


def edge_table() -> dict[str, Any]:
    """Table arguments of the graph of origins: on SQLite, rows in key order without a row id,
    which halves a walk's cost; other databases do not know the option."""
    return {"sqlite_with_rowid": False}
