"""Rows of the batches slice."""

from datetime import date, datetime
from decimal import Decimal
from typing import ClassVar

from sqlalchemy import BigInteger, UniqueConstraint
from sqlmodel import Field

from service.store.columns import Codes, Instant, Numbered, Recorded, Scaled


class Batch(Numbered, table=True):
    """One making of a recipe version; its code becomes the number of the lot it makes."""

    __tablename__ = "batches"
    searched: ClassVar[tuple[str, ...]] = ("code", "recipe", "material")

    code: str = Field(max_length=20, unique=True)
    recipe: str = Field(max_length=20, foreign_key="recipes.code", index=True)
    version: int
    material: str = Field(max_length=20, foreign_key="materials.code", index=True)
    scaling: str = Field(max_length=20)
    state: str = Field(max_length=10, index=True)  # planned|running|held|complete|aborted
    kettle: str | None = Field(default=None, max_length=20, foreign_key="equipment.code")
    asked: str = Field(max_length=80)
    product: str | None = Field(default=None, max_length=20, foreign_key="products.code")
    target_mg: int = Field(sa_type=BigInteger)  # what should come out
    planned_on: date
    override_reason: str | None = Field(default=None, max_length=300)
    created_at: datetime = Field(sa_type=Instant)
    folded: str = Field(default="", max_length=600)
    bench_mode: bool = Field(default=False)  # open lines follow what was weighed


class BatchLine(Numbered, table=True):
    """One numbered line of the batch sheet, as planned."""

    __tablename__ = "batch_lines"
    __table_args__ = (UniqueConstraint("batch", "line"),)

    batch: int = Field(foreign_key="batches.id", index=True)
    line: int
    position: int  # order on the sheet, which is not that of the numbers
    stage: str = Field(max_length=12)
    do: str = Field(max_length=8)  # weigh|heat|hold|cool|wait|check|strain|note|yield
    material: str | None = Field(default=None, max_length=20, foreign_key="materials.code")
    # Null also for what is weighed in as needed, of which only the condition was planned.
    target_mg: int | None = Field(default=None, sa_type=BigInteger)
    condition: str | None = Field(default=None, max_length=200)
    tolerance_mg: int | None = Field(default=None, sa_type=BigInteger)
    to_c: Decimal | None = Field(default=None, sa_type=Scaled)
    seconds: int | None = None
    ramp_k_min: Decimal | None = Field(default=None, sa_type=Scaled)
    until: str | None = Field(default=None, max_length=200)
    lots: tuple[str, ...] = Field(default=(), sa_type=Codes)
    figure: str | None = Field(default=None, max_length=20)  # which one set a calculated to_c


class Page(Recorded, table=True):
    """A whole page entered at once; the entries it made name it."""

    __tablename__ = "pages"

    batch: int = Field(foreign_key="batches.id", index=True)
    page: int
    digest: str = Field(max_length=64)  # of the body as sent
    photo: str | None = Field(default=None, max_length=71)  # of the page itself


class Weighing(Recorded, table=True):
    """What was weighed in for a line, and from which lot."""

    __tablename__ = "weighings"

    batch: int = Field(foreign_key="batches.id", index=True)
    line: int
    material: str = Field(max_length=20, foreign_key="materials.code")
    lot: int = Field(foreign_key="lots.id", index=True)
    amount_mg: int = Field(sa_type=BigInteger)
    entered_value: str = Field(max_length=30)
    entered_unit: str = Field(max_length=20)
    # With the vessel and the vessel alone, as they were read; null where the net was read.
    gross: str | None = Field(default=None, max_length=60)
    tare: str | None = Field(default=None, max_length=60)
    adjustment: int | None = None  # the number of the one it was added for
    verdict: str = Field(max_length=8)  # within|under|over|none
    substitute: bool = Field(default=False)
    balance: str | None = Field(default=None, max_length=20, foreign_key="equipment.code")
    checked_by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    page: int | None = Field(default=None, foreign_key="pages.id")


class CookPoint(Recorded, table=True):
    """A temperature of a kettle at an instant; it joins the batch in the kettle at that time."""

    __tablename__ = "cook_points"
    follows: ClassVar[frozenset[str]] = frozenset({"batch"})
    __table_args__ = (UniqueConstraint("device", "seq"),)

    # Null where someone read a pot that is no piece of equipment here.
    kettle: str | None = Field(
        default=None, max_length=20, foreign_key="equipment.code", index=True
    )
    batch: int | None = Field(default=None, foreign_key="batches.id", index=True)
    device: str | None = Field(default=None, max_length=40)
    seq: int | None = Field(default=None, sa_type=BigInteger)
    temperature_c: Decimal | None = Field(default=None, sa_type=Scaled)
    remark: str | None = Field(default=None, max_length=200)
    set_aside: str | None = Field(default=None, max_length=200)
    page: int | None = Field(default=None, foreign_key="pages.id")
    log: int | None = Field(default=None, foreign_key="cook_logs.id", index=True)


class CookLog(Recorded, table=True):
    """A file of a logger, taken in at once: how it was read, and what came of it."""

    __tablename__ = "cook_logs"

    kettle: str | None = Field(
        default=None, max_length=20, foreign_key="equipment.code", index=True
    )
    batch: int | None = Field(default=None, foreign_key="batches.id", index=True)  # it was sent to
    device: str | None = Field(default=None, max_length=40)
    sha256: str = Field(max_length=64)  # of the file as it was sent
    read_as: str = Field(max_length=1200)  # the columns and forms that were stated
    rows: int  # of the file
    stored: int
    known: int
    set_aside: int
    first_at: datetime | None = Field(default=None, sa_type=Instant)
    last_at: datetime | None = Field(default=None, sa_type=Instant)
    times_from: str = Field(max_length=8)  # at|sent_at
    behind_ms: int | None = Field(default=None, sa_type=BigInteger)  # by which times were mended


class StepEntry(Recorded, table=True):
    """What was seen at a line that is not a weighing."""

    __tablename__ = "step_entries"

    batch: int = Field(foreign_key="batches.id", index=True)
    line: int
    saw: str = Field(max_length=600)
    page: int | None = Field(default=None, foreign_key="pages.id")


class BatchNote(Recorded, table=True):
    """A remark to the batch."""

    __tablename__ = "batch_notes"

    batch: int = Field(foreign_key="batches.id", index=True)
    text: str = Field(max_length=2000)
    page: int | None = Field(default=None, foreign_key="pages.id")


class Yield(Recorded, table=True):
    """What came out, beside what should have."""

    __tablename__ = "yields"

    batch: int = Field(foreign_key="batches.id", index=True)
    amount_mg: int = Field(sa_type=BigInteger)
    entered_value: str = Field(max_length=30)
    entered_unit: str = Field(max_length=20)
    theory_mg: int = Field(sa_type=BigInteger)
    balance: str | None = Field(default=None, max_length=20, foreign_key="equipment.code")
    checked_by: str | None = Field(default=None, max_length=20, foreign_key="people.code")
    page: int | None = Field(default=None, foreign_key="pages.id")


class Transition(Recorded, table=True):
    """A change of a batch's state."""

    __tablename__ = "transitions"

    batch: int = Field(foreign_key="batches.id", index=True)
    from_state: str = Field(max_length=10)
    to_state: str = Field(max_length=10)
    text: str | None = Field(default=None, max_length=600)
