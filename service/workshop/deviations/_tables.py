"""Rows of the deviations slice."""

from sqlmodel import Field

from service.store.columns import Recorded


class Deviation(Recorded, table=True):
    """A fact outside the plan."""

    __tablename__ = "deviations"

    number: str = Field(max_length=20, unique=True)
    subject_kind: str = Field(max_length=12, index=True)
    subject: str = Field(max_length=20, index=True)
    code: str = Field(max_length=40, index=True)
    text: str = Field(max_length=600)
    open: bool = Field(default=True, index=True)


class Conclusion(Recorded, table=True):
    """What was found of a deviation, and what was decided."""

    __tablename__ = "conclusions"

    deviation: int = Field(foreign_key="deviations.id", index=True)
    text: str = Field(max_length=2000)
