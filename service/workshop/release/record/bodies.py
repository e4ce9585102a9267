"""The batch record as it is answered."""

from typing import Any, Literal

from pydantic import ConfigDict, Field

from service.web.fields import Day, Out, Utc


class RecordItem(Out):
    """One item of the record."""

    item: str = Field(examples=["A4"])
    title: str
    stands: Literal["yes", "no", "not yet"] = Field(
        description="`not yet`: of packs that are still to be filled, looked at or released."
    )
    lacks: list[str] = Field(description="What is not entered, and mostly the call that does.")
    data: dict[str, Any] = Field(description="What was entered; its members follow from `item`.")


class FilledOut(Out):
    """A packed lot that was filled from the batch."""

    lot: str
    pack: str
    count: int
    quality: str


class BatchRecordOut(Out):
    """All items A0 to A13, as they stand now or as they were frozen."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    batch: str
    workshop: str | None
    recipe: str
    version: int
    material: str
    product: str | None
    for_: str = Field(alias="for")
    state: str
    kettle: str | None
    planned_on: Day
    begun_at: Utc | None
    begun_about: str | None = Field(
        default=None, description="How far that may be off: PT12H where only the day is known."
    )
    ended_at: Utc | None
    ended_about: str | None = Field(default=None, description="The same of the end.")
    lot: str | None = Field(description="The lot it made, once it is complete.")
    filled: list[FilledOut]
    draft: bool
    revision: int | None
    sha256: str | None = Field(description="Of the frozen bytes; null for a draft.")
    frozen_at: Utc | None
    frozen: list[int] = Field(description="All frozen revisions.")
    differs_from_frozen: list[str] = Field(
        description="Items that say something else now than in the newest frozen revision."
    )
    missing: list[str] = Field(description="The items that do not stand.")
    items: list[RecordItem]
