"""What was measured in the pot."""

from pydantic import Field

from service.workshop.deviations.bodies import Flag
from service.workshop.materials.bodies import FigureIn, FigureMade
from service.workshop.recipes.rules import Stage


class BatchFigureIn(FigureIn):
    """A figure of a batch; at the end of a stage, later lines can follow from it."""

    stage: Stage | None = Field(default=None, description="At the end of which it was read.")


class BatchFigureMade(FigureMade):
    flags: list[Flag]
