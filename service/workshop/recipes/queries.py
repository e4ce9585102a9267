"""What is read of recipes and their versions."""

import functools
from collections.abc import Iterable, Sequence
from typing import Literal, TypeVar

from sqlalchemy import bindparam
from sqlmodel import col, select
from sqlmodel.sql.expression import SelectOfScalar

from service.errors import at
from service.store import named
from service.store.lists import Listing
from service.store.session import ReadSession
from service.workshop.materials.queries import archived_of
from service.workshop.recipes._tables import Line as Line
from service.workshop.recipes._tables import Loss as Loss
from service.workshop.recipes._tables import ProvedBand as ProvedBand
from service.workshop.recipes._tables import Recipe as Recipe
from service.workshop.recipes._tables import StageRow as StageRow
from service.workshop.recipes._tables import Step as Step
from service.workshop.recipes._tables import Version as Version
from service.workshop.recipes.bodies import RecipeOut, VersionBrief
from service.workshop.recipes.rules import (
    IntermediateRetired,
    NotApproved,
    NotInUse,
    Retired,
    UnknownRecipe,
    UnknownVersion,
    default_version,
    in_force,
    withdrawn,
)

OfVersion = TypeVar("OfVersion", Line, Step, StageRow, Loss, ProvedBand)

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
    return list(session.exec(_versions(), params={"recipe": recipe_code}))


@functools.cache
def _versions() -> SelectOfScalar[Version]:
    of_one = Version.recipe == bindparam("recipe")
    return select(Version).where(of_one).order_by(col(Version.number))


def version(session: ReadSession, recipe_code: str, number: int | None) -> Version:
    """A version, for None the newest approved. Raises UnknownRecipe, UnknownVersion, NotApproved.

    A draft comes only to those who name its number.
    """
    return version_of(session, recipe(session, recipe_code), number)


def version_of(session: ReadSession, row: Recipe, number: int | None) -> Version:
    """The same of a recipe that was read before. Raises UnknownVersion, NotApproved."""
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
    return _of_version(session, Line, "line", version)


def _of_version(
    session: ReadSession, table: type[OfVersion], order: str, version: Version
) -> list[OfVersion]:
    return list(session.exec(_all_of(table, order), params={"version": version.row_id}))


@functools.cache
def _all_of(table: type[OfVersion], order: str) -> SelectOfScalar[OfVersion]:
    of_one = table.version == bindparam("version")
    return select(table).where(of_one).order_by(col(getattr(table, order)))


def check_in_use(
    session: ReadSession, row: Recipe, version: Version, inside: Iterable[str]
) -> None:
    """Whether new work may be planned from a version that holds these materials. Raises Retired,
    NotInUse, IntermediateRetired."""
    if version.state == "retired":
        wrong = f"Version {version.number} of {row.code} is retired: {version.retired_for}"
        raise Retired(wrong, at("#", wrong, "version-retired", hint=_other(session, row)))
    archived = [f"/v1/recipes/{row.code}"] if row.archived_at else []
    named_in_it = dict.fromkeys([row.makes, *inside])
    out_of_use = archived_of(session, named_in_it)
    archived += [f"/v1/materials/{code}" for code in named_in_it if code in out_of_use]
    if archived:
        codes = ", ".join(path.rpartition("/")[2] for path in archived)
        wrong = f"{codes} {'is' if len(archived) == 1 else 'are'} archived."
        hint = f'Take it back into use: PATCH {archived[0]} with {{"archived": false}}.'
        raise NotInUse(wrong, at("#", wrong, "not-in-use", hint=hint))
    _check_intermediates(session, named_in_it.keys() - {row.makes})


def _other(session: ReadSession, row: Recipe) -> str:
    states = {version.number: version.state for version in versions(session, row.code)}
    default = default_version(states)
    if default is None:
        return f"Draft one: POST /v1/recipes/{row.code}/versions, and approve it."
    return f"Leave `version` out, or name {default}."


def _check_intermediates(session: ReadSession, level: set[str]) -> None:
    """Whether all that is made first still has a recipe, level by level. Raises
    IntermediateRetired."""
    if not session.exec(_any_retired()).all():
        return
    seen = set[str]()
    while level:
        seen |= level
        made_by = _versions_making(session, level)
        for material in sorted(made_by):
            _check_made(material, made_by[material])
        default = [one for rows in made_by.values() for one in _defaults(rows)]
        level = set(materials_in(session, default)) - seen


@functools.cache
def _any_retired() -> SelectOfScalar[str]:
    return select(Version.recipe).where(Version.state == "retired").limit(1)


def _check_made(material: str, made_by: Sequence[Version]) -> None:
    if withdrawn(row.state for row in made_by):
        code = next(row.recipe for row in made_by if row.state == "retired")
        wrong = f"{material} is made by no recipe any more: {code} has retired versions only."
        hint = f"Draft a version of {code} and approve it: POST /v1/recipes/{code}/versions."
        fault = at("#", wrong, "intermediate-retired", hint=hint)
        raise IntermediateRetired(wrong, fault)


def _versions_making(session: ReadSession, materials: Iterable[str]) -> dict[str, list[Version]]:
    """All versions of the recipes in use that make materials, in one query."""
    makes = col(Recipe.makes).in_(set(materials))
    rows = session.exec(
        select(Recipe, Version)
        .where(Version.recipe == Recipe.code, makes, col(Recipe.archived_at).is_(None))
        .order_by(col(Recipe.code), col(Version.number))
    )
    found: dict[str, list[Version]] = {}
    for recipe_row, row in rows:
        found.setdefault(recipe_row.makes, []).append(row)
    return found


def materials_in(session: ReadSession, rows: Sequence[Version]) -> list[str]:
    """The materials in the lines of versions, by line number, in one query."""
    ids = [row.row_id for row in rows]
    found = session.exec(_materials_in(), params={"ids": ids}) if ids else ()
    return list(dict.fromkeys(found))


@functools.cache
def _materials_in() -> SelectOfScalar[str]:
    inside = col(Line.version).in_(bindparam("ids", expanding=True))
    return select(Line.material).where(inside).order_by(col(Line.line))


def _defaults(rows: Iterable[Version]) -> list[Version]:
    """Of each recipe its newest approved version."""
    newest = {row.recipe: row for row in rows if row.state == "approved"}
    return list(newest.values())


def steps(session: ReadSession, version: Version) -> list[Step]:
    """The steps of a version, by line number."""
    return _of_version(session, Step, "line", version)


def stages(session: ReadSession, version: Version) -> list[StageRow]:
    """The stages of a version, in the order of the work."""
    return _of_version(session, StageRow, "position", version)


def losses(session: ReadSession, version: Version) -> list[Loss]:
    """The declared losses of a version, as they were sent."""
    return _of_version(session, Loss, "id", version)


def proved_bands(session: ReadSession, version: Version) -> list[ProvedBand]:
    """Between which values a version was proved, as they were sent."""
    return _of_version(session, ProvedBand, "id", version)


def recipes_of_material(session: ReadSession, material: str) -> list[Recipe]:
    """The recipes in use that make a material, by code."""
    found = select(Recipe).where(Recipe.makes == material, col(Recipe.archived_at).is_(None))
    return list(session.exec(found.order_by(col(Recipe.code))))


def recipes_making(session: ReadSession, materials: Iterable[str]) -> dict[str, list[str]]:
    """The codes of the recipes in use by the material that they make, in one query."""
    makes = col(Recipe.makes).in_(set(materials))
    rows = session.exec(
        select(Recipe).where(makes, col(Recipe.archived_at).is_(None)).order_by(col(Recipe.code))
    )
    found: dict[str, list[str]] = {}
    for row in rows:
        found.setdefault(row.makes, []).append(row.code)
    return found


def parts_of(session: ReadSession, material: str) -> set[str]:
    """The materials in every version in force of the recipes that make a material."""
    made_by = recipes_of_material(session, material)
    return {part for row in made_by for part in parts_in_force(session, row.code)}


def parts_in_force(session: ReadSession, recipe_code: str) -> set[str]:
    """The materials in every version of a recipe that can still shape what is made."""
    rows = versions(session, recipe_code)
    numbers = in_force({row.number: row.state for row in rows})
    return {line.material for row in rows if row.number in numbers for line in lines(session, row)}


def made_with(session: ReadSession, material: str) -> set[str]:
    """What is made by recipes in use that hold a material in a version in force."""
    holding = select(Line.version).where(Line.material == material)
    codes = set(session.exec(select(Version.recipe).where(col(Version.id).in_(holding))))
    return {
        row.makes
        for row in session.exec(select(Recipe).where(col(Recipe.code).in_(codes)))
        if row.archived_at is None and material in parts_in_force(session, row.code)
    }


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
        why=row.why,
        came_from=row.came_from,
        reconstructed=row.reconstructed,
        created_by=row.created_by,
        created_at=row.created_at,
        approved_by=row.approved_by,
        approved_at=row.approved_at,
        retired_by=row.retired_by,
        retired_at=row.retired_at,
        retired_for=row.retired_for,
    )
