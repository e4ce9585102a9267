"""Rows of the people desk."""

from typing import ClassVar

from sqlalchemy import Column, String
from sqlmodel import Field

from service.store.columns import Named


class Person(Named, table=True):
    """A code that acts name; the name behind it is personal and may be blanked."""

    __tablename__ = "people"
    # Not searched by name: the folded text would keep a name that was blanked.
    searched: ClassVar[tuple[str, ...]] = ("code", "role")

    name: str | None = Field(
        default=None, sa_column=Column(String(80), nullable=True, info={"personal": True})
    )
    role: str | None = Field(default=None, max_length=80)
