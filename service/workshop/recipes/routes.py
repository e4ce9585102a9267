"""Recipes over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from service.errors import CodeTaken, InUse, Invalid
from service.store.lists import Ask, page
from service.web.etags import IfMatch, etag_of
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.recipes import queries
from service.workshop.recipes.actions import approvals, drafts, recipes
from service.workshop.recipes.bodies import (
    ApprovalIn,
    RecipeIn,
    RecipeMade,
    RecipeOut,
    RecipePatch,
    RetirementIn,
    VersionBrief,
    VersionIn,
    VersionMade,
    VersionOut,
)
from service.workshop.recipes.rules import (
    AlreadyApproved,
    ContainsItself,
    NotFrozen,
    TooDeep,
    UnknownRecipe,
    UnknownVersion,
)
from service.workshop.recipes.written import versions

router = APIRouter(prefix="/v1/recipes", tags=["recipes"], route_class=Route)


@router.get("", summary="List the recipes")
def list_recipes(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[RecipeOut]:
    return link(page(session, queries.LISTING, ask), lambda row: queries.shown(session, row))


@router.post(
    "",
    status_code=201,
    summary="Make a recipe with its first draft",
    responses=problems(CodeTaken, Invalid, ContainsItself, TooDeep),
)
def create_recipe(wanted: RecipeIn, session: Writing, response: Response) -> RecipeMade:
    row, version, assumed = recipes.create_recipe(session, wanted)
    response.headers.update({"ETag": etag_of(row), "Location": f"/v1/recipes/{row.code}"})
    return RecipeMade(
        **queries.shown(session, row).model_dump(),
        version=versions.shown(session, version),
        assumed=assumed,
        summary=f"{row.code} makes {row.makes}; version 1 is a draft of {len(wanted.lines)} lines.",
    )


@router.get("/{code}", summary="Show a recipe", responses=problems(UnknownRecipe))
def get_recipe(code: str, session: Reading, response: Response) -> RecipeOut:
    row = queries.recipe(session, code)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(session, row)


@router.patch(
    "/{code}",
    summary="Rename or archive a recipe",
    responses=problems(UnknownRecipe, ContainsItself, TooDeep),
)
def change_recipe(
    code: str, patch: RecipePatch, condition: IfMatch, session: Writing, response: Response
) -> RecipeOut:
    row = recipes.change_recipe(session, code, patch, condition)
    response.headers["ETag"] = etag_of(row)
    return queries.shown(session, row)


@router.delete(
    "/{code}",
    summary="Delete a recipe of which nothing was approved",
    responses=problems(UnknownRecipe, InUse),
)
def delete_recipe(code: str, condition: IfMatch, session: Writing) -> RecipeOut:
    return recipes.delete_recipe(session, code, condition)


@router.get(
    "/{code}/versions", summary="List the versions of a recipe", responses=problems(UnknownRecipe)
)
def list_recipe_versions(
    code: str,
    ask: Annotated[Ask, Depends(asking(queries.VERSIONS))],
    session: Reading,
    link: Linking,
) -> Listed[VersionBrief]:
    row = queries.recipe(session, code)
    where = [queries.Version.recipe == row.code]
    return link(page(session, queries.VERSIONS, ask, where=where), queries.brief)


@router.post(
    "/{code}/versions",
    status_code=201,
    summary="Draft a new version",
    responses=problems(UnknownRecipe, Invalid, ContainsItself, TooDeep),
)
def create_recipe_version(
    code: str, wanted: VersionIn, session: Writing, response: Response
) -> VersionMade:
    row, assumed = drafts.create_version(session, code, wanted)
    response.headers["Location"] = f"/v1/recipes/{row.recipe}/versions/{row.number}"
    shown = versions.shown(session, row).model_dump(by_alias=True)
    summary = f"Version {row.number} of {row.recipe} is a draft of {len(wanted.lines)} lines."
    return VersionMade(**shown, assumed=assumed, summary=summary)


@router.get(
    "/{code}/versions/{number}",
    summary="Show a version with what follows from its lines",
    responses=problems(UnknownRecipe, UnknownVersion),
)
def get_recipe_version(
    code: str, number: Annotated[int, Path(ge=1, le=100000)], session: Reading
) -> VersionOut:
    return versions.shown(session, queries.version(session, code, number))


@router.post(
    "/{code}/approvals",
    status_code=201,
    summary="Approve a version and freeze it",
    responses=problems(
        UnknownRecipe, UnknownVersion, AlreadyApproved, Invalid, ContainsItself, TooDeep
    ),
)
def approve_recipe_version(code: str, wanted: ApprovalIn, session: Writing) -> VersionMade:
    row, assumed = approvals.approve(session, code, wanted)
    shown = versions.shown(session, row).model_dump(by_alias=True)
    default = queries.version(session, row.recipe, None).number
    also = "" if default == row.number else f" Version {default} stays the one used."
    waits = versions.waits_for(session, row)
    until = f" It cannot be scaled without {', '.join(waits)}." if waits else ""
    summary = f"Version {row.number} of {row.recipe} is approved and frozen.{also}{until}"
    return VersionMade(**shown, assumed=assumed, summary=summary)


@router.post(
    "/{code}/retirements",
    status_code=201,
    summary="Retire an approved version",
    responses=problems(UnknownRecipe, UnknownVersion, NotFrozen, Invalid),
)
def retire_recipe_version(code: str, wanted: RetirementIn, session: Writing) -> VersionMade:
    row, assumed = approvals.retire(session, code, wanted)
    shown = versions.shown(session, row).model_dump(by_alias=True)
    default = queries.shown(session, queries.recipe(session, row.recipe)).approved
    left = "no version is approved any more" if default is None else f"version {default} is used"
    summary = f"Version {row.number} of {row.recipe} is retired; {left}."
    return VersionMade(**shown, assumed=assumed, summary=summary)
