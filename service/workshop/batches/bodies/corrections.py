"""Corrections of notes, cook points and moves; those of lines are addressed by line."""

from typing import ClassVar

from pydantic import ConfigDict, Field

from service.web.corrections import CorrectionIn, ReplacementIn, Traced
from service.web.fields import Instant, Line, Paragraph, Remark, Utc, Written
from service.workshop.batches.bodies.cook_log import CookPointOut, CookTemperature
from service.workshop.batches.bodies.entries import NoteOut, WrittenFigure
from service.workshop.deviations.bodies import Flag


class NoteReplacement(ReplacementIn):
    needed: ClassVar[frozenset[str]] = frozenset({"text", "happened_at"})

    text: Remark | None = None
    happened_at: Instant | None = None


class NoteCorrection(CorrectionIn):
    replaces: NoteReplacement | None = None


class NoteCorrected(NoteOut, Written):
    flags: list[Flag]


class PointReplacement(ReplacementIn):
    """What a person says the point was, so what no kettle had is refused."""

    needed: ClassVar[frozenset[str]] = frozenset({"temperature", "happened_at"})

    temperature: CookTemperature | None = None
    happened_at: Instant | None = None
    remark: Line | None = None


class PointCorrection(CorrectionIn):
    replaces: PointReplacement | None = None


class PointCorrected(CookPointOut, Written):
    pass


class MoveReplacement(ReplacementIn):
    """When it was, and what was said; where a move leads is no slip of the pen."""

    needed: ClassVar[frozenset[str]] = frozenset({"happened_at"})

    happened_at: Instant | None = None
    text: Paragraph | None = None


class MoveCorrection(CorrectionIn):
    """Voided, the batch is again what it was before its last move."""

    replaces: MoveReplacement | None = None


class MoveOut(Traced):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    entry: int
    batch: str
    from_: str = Field(alias="from")
    to: str
    text: str | None
    by: str | None
    happened_at: Utc
    about: str | None
    entered_at: Utc


class MoveCorrected(MoveOut, Written):
    state: str = Field(description="Of the batch, now.")
    lots: list[str] = Field(description="Lots of which the days follow from this move.")
    figures: list[WrittenFigure] = Field(description="Of the version, where their day changed.")
    flags: list[Flag]
