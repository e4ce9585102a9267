"""What changes with recipes: made with a first draft, renamed, archived, deleted."""

from itertools import chain
from typing import Any

from service.errors import InUse, Invalid, at
from service.store import named
from service.store.session import WriteSession
from service.web.etags import Condition
from service.workshop.materials.queries import named_in_body
from service.workshop.recipes import queries
from service.workshop.recipes._tables import Recipe, Version
from service.workshop.recipes.actions.drafts import create_version
from service.workshop.recipes.actions.nesting import check_nesting
from service.workshop.recipes.bodies import RecipeIn, RecipeOut, RecipePatch
from service.workshop.recipes.rules import made_problem


def create_recipe(
    session: WriteSession, wanted: RecipeIn
) -> tuple[Recipe, Version, dict[str, Any]]:
    """A recipe with its first draft, and what was assumed. Raises CodeTaken, Invalid."""
    named.check_free(session, Recipe, wanted.code)
    pointer = "#/code" if wanted.makes is None else "#/makes"
    makes = named_in_body(session, wanted.makes or wanted.code, pointer=pointer)
    if wrong := made_problem(makes.kind):
        detail = f"{makes.code} cannot be made by a recipe: {wrong}."
        hint = "Name what it makes in `makes`."
        raise Invalid(detail, at(pointer, detail, "not-makeable", hint=hint))
    row = Recipe(
        code=wanted.code,
        name=wanted.name or makes.name,
        makes=makes.code,
        created_at=session.now,
    )
    session.add(row)
    session.flush()  # its version points at it
    version, assumed = create_version(session, row.code, wanted)
    filled = {"makes": row.makes, "name": row.name}
    given = {name: value for name, value in filled.items() if getattr(wanted, name) is None}
    return row, version, {**given, **assumed}


def change_recipe(
    session: WriteSession, code: str, patch: RecipePatch, condition: Condition
) -> Recipe:
    """Raises UnknownRecipe, PreconditionNeeded, Stale; ContainsItself or TooDeep where taking it
    back into use would close a circle or stand too many in one another."""
    row = queries.recipe(session, code)
    condition.meets(row)
    back = "archived" in patch.model_fields_set and not patch.archived
    if back and row.archived_at is not None:
        parts = queries.parts_in_force(session, row.code)
        check_nesting(session, row.makes, sorted(parts), pointer="#/archived")
    named.change(session, row, patch.model_dump(exclude_unset=True))
    return row


def delete_recipe(session: WriteSession, code: str, condition: Condition) -> RecipeOut:
    """A recipe goes with its drafts. Raises UnknownRecipe, PreconditionNeeded, Stale, InUse."""
    row = queries.recipe(session, code)
    condition.meets(row)
    gone = queries.shown(session, row)
    known = queries.versions(session, row.code)
    frozen = next((version for version in known if version.state != "draft"), None)
    if frozen is not None:
        wrong = f"Version {gone.approved or frozen.number} of {row.code} was approved"
        raise InUse(f"{wrong}; archive it instead.")
    for version in known:
        _delete_draft(session, version)
    session.flush()  # and the versions before the recipe
    named.delete(session, row)
    return gone


def _delete_draft(session: WriteSession, version: Version) -> None:
    parts = chain(
        queries.lines(session, version),
        queries.steps(session, version),
        queries.stages(session, version),
        queries.losses(session, version),
        queries.proved_bands(session, version),
    )
    for part in parts:
        session.delete(part)
    session.flush()  # the lines go before what they point at
    session.delete(version)
