"""Scalings over HTTP."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Path, Query, Request, Response

from service.errors import Invalid
from service.press.html import Paper
from service.web.negotiation import page, prefers_html
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.recipes.rules import (
    IntermediateRetired,
    NotApproved,
    NotInUse,
    Retired,
    TooDeep,
    UnknownRecipe,
    UnknownVersion,
)
from service.workshop.scalings import actions, queries
from service.workshop.scalings.bodies import ScalingIn, ScalingMade, ScalingOut
from service.workshop.scalings.bodies.costs import VersionCostsOut
from service.workshop.scalings.bodies.sheet import ScalingSheetOut
from service.workshop.scalings.costing.version_costs import version_costs
from service.workshop.scalings.paper import page as sheet_page
from service.workshop.scalings.paper.sheet import sheet
from service.workshop.scalings.rules import (
    CookTooHot,
    DensityNeeded,
    KettleTooSmall,
    PlanRefused,
    PourTooHot,
    TooSmallToWeigh,
    UnknownScaling,
    ValueNeeded,
)

router = APIRouter(prefix="/v1/recipes", tags=["recipes"], route_class=Route)
_HTML: dict[int | str, dict[str, Any]] = {
    200: {"content": {"text/html": {"schema": {"type": "string"}}}}
}


def _asked_paper(
    request: Request,
    form: Annotated[
        Literal["json", "html"] | None, Query(description="Where absent, by the Accept header.")
    ] = None,
    paper: Annotated[Paper, Query(description="Size of the printed page.")] = "a4",
) -> Paper | None:
    """The paper of a page, or None where JSON is asked for. Raises NotAcceptable."""
    return paper if form == "html" or (form is None and prefers_html(request)) else None


@router.post(
    "/{code}/scalings",
    status_code=201,
    summary="Scale a recipe to what is wanted of it",
    responses=problems(
        UnknownRecipe,
        UnknownVersion,
        UnknownScaling,
        NotApproved,
        NotInUse,
        Retired,
        IntermediateRetired,
        Invalid,
        DensityNeeded,
        ValueNeeded,
        PlanRefused,
        CookTooHot,
        PourTooHot,
        TooDeep,
        KettleTooSmall,
        TooSmallToWeigh,
    ),
)
def create_scaling(
    code: str, wanted: ScalingIn, session: Writing, response: Response
) -> ScalingMade:
    found = actions.scale(session, code, wanted)
    response.headers["Location"] = f"/v1/recipes/{found.recipe}/scalings/{found.scaling}"
    # Its parts are checked already, and there are many: they are not read and checked again.
    return ScalingMade.model_construct(**vars(found), summary=queries.told(found))


@router.get(
    "/{code}/scalings/{number}",
    summary="Show a scaling as it was frozen",
    responses=problems(UnknownRecipe, UnknownScaling),
)
def get_scaling(code: str, number: str, session: Reading) -> ScalingOut:
    return ScalingOut.model_validate(queries.shown(session, code, number))


@router.get(
    "/{code}/versions/{number}/costs",
    summary="Show what a version costs, for a kilogram, a litre and a jar",
    description="With the prices known now: the latest receipt, else what the lot at hand cost, "
    "else the recipe that makes it, else the list price. What has no price is named, and the total "
    "says `at_least`.",
    responses=problems(UnknownRecipe, UnknownVersion),
)
def get_version_costs(
    code: str, number: Annotated[int, Path(ge=1, le=100000)], session: Reading
) -> VersionCostsOut:
    return version_costs(session, code, number)


@router.get(
    "/{code}/scalings/{number}/sheet",
    summary="Preview the batch sheet of a scaling",
    description="A preview of the numbered lines, from the frozen scaling: as JSON, or as a page "
    "to print and take to the bench. Nothing is sent back to it: the sheet of a batch ends with "
    "the body to send, its lines under the same numbers.",
    response_model=ScalingSheetOut,
    response_model_exclude_unset=True,
    responses=_HTML | problems(UnknownRecipe, UnknownScaling),
)
def get_scaling_sheet(
    code: str,
    number: str,
    paper: Annotated[Paper | None, Depends(_asked_paper)],
    session: Reading,
    response: Response,
) -> ScalingSheetOut | Response:
    found = sheet(session, code, number)
    if paper is not None:
        return page(sheet_page.page(found, paper), cache="private, no-cache")
    response.headers["Vary"] = "Accept"
    return found
