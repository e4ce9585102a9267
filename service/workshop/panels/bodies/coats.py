"""Corrections of coats."""

from typing import ClassVar

from pydantic import Field

from service.web.corrections import CorrectionIn, ReplacementIn
from service.web.fields import Code, Day, Line, Written
from service.workshop.deviations.bodies import Flag
from service.workshop.panels.bodies.panels import PanelOut, WetCoat


class CoatReplacement(ReplacementIn):
    needed: ClassVar[frozenset[str]] = frozenset({"on", "lot"})

    on: Day | None = None
    wet: WetCoat | None = Field(
        default=None, description="Null where it was not weighed after all."
    )
    lot: Code | None = None
    how: Line | None = None


class CoatCorrection(CorrectionIn):
    replaces: CoatReplacement | None = None


class CoatCorrected(PanelOut, Written):
    """The panel as it stands now."""

    coat: int
    entry: int
    corrects: int
    void: bool
    reason: str
    renewed: list[str] = Field(
        description="Readings entered again, since what they say of the film has changed."
    )
    flags: list[Flag]
