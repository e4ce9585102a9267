"""Scalings over HTTP."""

from fastapi import APIRouter, Response

from service.errors import Invalid
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.recipes.rules import (
    NotApproved,
    NotInUse,
    UnknownRecipe,
    UnknownVersion,
)
from service.workshop.scalings import actions, queries
from service.workshop.scalings.bodies import ScalingIn, ScalingMade, ScalingOut
from service.workshop.scalings.rules import (
    DensityNeeded,
    KettleTooSmall,
    TooSmallToWeigh,
    UnknownScaling,
)

router = APIRouter(prefix="/v1/recipes", tags=["recipes"], route_class=Route)


@router.post(
    "/{code}/scalings",
    status_code=201,
    summary="Scale a recipe to what is wanted of it",
    responses=problems(
        UnknownRecipe,
        UnknownVersion,
        NotApproved,
        NotInUse,
        Invalid,
        DensityNeeded,
        KettleTooSmall,
        TooSmallToWeigh,
    ),
)
def create_scaling(
    code: str, wanted: ScalingIn, session: Writing, response: Response
) -> ScalingMade:
    found = actions.scale(session, code, wanted)
    response.headers["Location"] = f"/v1/recipes/{found.recipe}/scalings/{found.scaling}"
    return ScalingMade(**found.model_dump(by_alias=True), summary=queries.told(found))


@router.get(
    "/{code}/scalings/{number}",
    summary="Show a scaling as it was frozen",
    responses=problems(UnknownRecipe, UnknownScaling),
)
def get_scaling(code: str, number: str, session: Reading) -> ScalingOut:
    return ScalingOut.model_validate(queries.shown(session, code, number))
