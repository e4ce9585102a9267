"""What is read of recipes and their versions."""

from typing import Literal

from sqlmodel import col, select

from service.errors import at
from service.store import named
from service.store.lists import Listing
from service.store.session import ReadSession
from service.workshop.materials.queries import by_codes
from service.workshop.recipes._tables import Line as Line
from service.workshop.recipes._tables import Recipe as Recipe
from service.workshop.recipes._tables import Step as Step
from service.workshop.recipes._tables import Version as Version
from service.workshop.recipes.bodies import RecipeOut, VersionBrief
from service.workshop.recipes.rules import (
    NotApproved,
    NotInUse,
    UnknownRecipe,
    UnknownVersion,
    default_version,
    in_force,
)

LISTING = Listing(
    "recipes",
    Recipe,
    sorts=("code", "name", "created_at"),
    default_sort="code",
    filters={"makes": str},
)
VERSIONS = Listing(
    "versions",
    Version,
    sorts=("number",),
    default_sort="-number",
    filters={"state": Literal["draft", "approved", "retired"]},
)


def recipe(session: ReadSession, code: str) -> Recipe:
    """Raises UnknownRecipe."""
    return named.get(session, Recipe, code, missing=UnknownRecipe)


def find(session: ReadSession, code: str) -> Recipe | None:
    """A recipe named in a body, or None."""
    return named.find(session, Recipe, code)


def versions(session: ReadSession, recipe_code: str) -> list[Version]:
    """All versions of a recipe, the oldest first."""
    found = select(Version).where(Version.recipe == recipe_code).order_by(col(Version.number))
    return list(session.exec(found))


def version(session: ReadSession, recipe_code: str, number: int | None) -> Version:
    """A version, for None the newest approved. Raises UnknownRecipe, UnknownVersion, NotApproved.

    A draft comes only to those who name its number.
    """
    row = recipe(session, recipe_code)
    known = {version.number: version for version in versions(session, row.code)}
    if number is None:
        number = default_version({n: version.state for n, version in known.items()})
        if number is None:
            hint = f"POST /v1/recipes/{row.code}/approvals approves its newest draft."
            raise NotApproved(f"No version of {row.code} is approved. {hint}")
    if number not in known:
        raise UnknownVersion(f"{row.code} has the versions {', '.join(map(str, known))}.")
    return known[number]


def lines(session: ReadSession, version: Version) -> list[Line]:
    """The materials of a version, by line number."""
    found = select(Line).where(Line.version == version.row_id).order_by(col(Line.line))
    return list(session.exec(found))


def check_in_use(session: ReadSession, row: Recipe, version: Version) -> None:
    """Whether new work may be planned from a version. Raises NotInUse."""
    archived = [f"/v1/recipes/{row.code}"] if row.archived_at else []
    named_in_it = [row.makes, *(line.material for line in lines(session, version))]
    found = by_codes(session, named_in_it)
    archived += [
        f"/v1/materials/{code}" for code in dict.fromkeys(named_in_it) if found[code].archived_at
    ]
    if archived:
        codes = ", ".join(path.rpartition("/")[2] for path in archived)
        wrong = f"{codes} {'is' if len(archived) == 1 else 'are'} archived."
        hint = f'Take it back into use: PATCH {archived[0]} with {{"archived": false}}.'
        raise NotInUse(wrong, at("#", wrong, "not-in-use", hint=hint))


def steps(session: ReadSession, version: Version) -> list[Step]:
    """The steps of a version, by line number."""
    found = select(Step).where(Step.version == version.row_id).order_by(col(Step.line))
    return list(session.exec(found))


def recipes_of_material(session: ReadSession, material: str) -> list[Recipe]:
    """The recipes in use that make a material, by code."""
    found = select(Recipe).where(Recipe.makes == material, col(Recipe.archived_at).is_(None))
    return list(session.exec(found.order_by(col(Recipe.code))))


def parts_of(session: ReadSession, material: str) -> set[str]:
    """The materials in every version in force of the recipes that make a material."""
    made_by = recipes_of_material(session, material)
    return {part for row in made_by for part in parts_in_force(session, row.code)}


def parts_in_force(session: ReadSession, recipe_code: str) -> set[str]:
    """The materials in every version of a recipe that can still shape what is made."""
    rows = versions(session, recipe_code)
    numbers = in_force({row.number: row.state for row in rows})
    return {line.material for row in rows if row.number in numbers for line in lines(session, row)}


def shown(session: ReadSession, row: Recipe) -> RecipeOut:
    states = {version.number: version.state for version in versions(session, row.code)}
    return RecipeOut(
        code=row.code,
        name=row.name,
        makes=row.makes,
        approved=default_version(states),
        newest=max(states),
        created_at=row.created_at,
        archived_at=row.archived_at,
    )


def brief(row: Version) -> VersionBrief:
    return VersionBrief(
        recipe=row.recipe,
        version=row.number,
        state=row.state,
        remark=row.remark,
        created_by=row.created_by,
        created_at=row.created_at,
        approved_by=row.approved_by,
        approved_at=row.approved_at,
    )
