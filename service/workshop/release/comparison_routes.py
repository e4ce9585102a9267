"""Comparisons over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Query

from service.errors import Invalid
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading
from service.workshop.recipes.rules import UnknownRecipe, UnknownVersion
from service.workshop.release.comparisons.bodies import ComparisonOut
from service.workshop.release.comparisons.comparison import compare

router = APIRouter(prefix="/v1/comparisons", tags=["recipes"], route_class=Route)


@router.get(
    "",
    summary="Show two versions side by side, with what was seen of their lots",
    description="Versions of one recipe or of two: what is written otherwise, how what follows "
    "differs, and what was put on and measured of the lots that either made. It judges nothing.",
    responses=problems(Invalid, UnknownRecipe, UnknownVersion),
)
def get_comparison(
    left: Annotated[str, Query(max_length=40, description='Recipe and number: "SPAR/2"')],
    right: Annotated[str, Query(max_length=40, description='Another version: "SPAR/3"')],
    session: Reading,
) -> ComparisonOut:
    return compare(session, left, right)
