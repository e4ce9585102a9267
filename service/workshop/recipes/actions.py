"""What changes with recipes: made with a first draft, versioned, approved."""

from typing import Any

from service.errors import Fault, InUse, Invalid, at
from service.office.audit.queries import head
from service.office.documents.actions import freeze_revision
from service.office.people.queries import doer
from service.science import units
from service.science.units import Quantity
from service.store import named
from service.store.columns import nine_places
from service.store.session import WriteSession
from service.web.etags import Condition
from service.workshop.materials.queries import by_codes, named_in_body
from service.workshop.recipes import queries, versions
from service.workshop.recipes._tables import Line, Recipe, Step, Version
from service.workshop.recipes.bodies import (
    ApprovalIn,
    RecipeIn,
    RecipeOut,
    RecipePatch,
    StepIn,
    VersionIn,
)
from service.workshop.recipes.rules import (
    AlreadyApproved,
    ContainsItself,
    line_problem,
    made_problem,
    way_back,
)


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


def create_version(
    session: WriteSession, code: str, wanted: VersionIn
) -> tuple[Version, dict[str, Any]]:
    """A new draft, and what was assumed. Raises UnknownRecipe, Invalid, ContainsItself."""
    recipe = queries.recipe(session, code)
    _check_materials(session, wanted)
    _check_way_back(session, recipe.makes, [line.material for line in wanted.lines])
    known = [version.number for version in queries.versions(session, recipe.code)]
    row = Version(
        recipe=recipe.code,
        number=max(known, default=0) + 1,
        state="draft",
        created_at=session.now,
        created_by=doer(session, wanted.by),
        loss_cook=_kept(wanted.loss_cook),
        loss_strain=_kept(wanted.loss_strain),
        remark=wanted.remark,
    )
    session.add(row)
    session.flush()  # lines and steps point at it
    _write_lines(session, row, wanted)
    assumed: dict[str, Any] = {"by": row.created_by} if wanted.by is None else {}
    if any(line.stage is None for line in wanted.lines):
        assumed["stage"] = "cook"
    return row, assumed


def _kept(quantity: Quantity | None) -> Any:
    """A value in its canonical unit, with the digits that a row keeps."""
    return None if quantity is None else nine_places(units.canonical(quantity))


def _check_materials(session: WriteSession, wanted: VersionIn) -> None:
    """Raises Invalid naming every line that cannot be weighed in."""
    known = by_codes(session, [line.material for line in wanted.lines])
    faults = []
    for place, line in enumerate(wanted.lines):
        pointer = f"#/lines/{place}/material"
        found = known.get(line.material)
        if found is None:
            hint = "Make it first: POST /v1/materials, or look at its spelling."
            text = f"There is no material {line.material}."
            faults.append(Fault(text, "material-unknown", pointer, hint=hint))
        elif found.archived_at is not None:
            text = f"{found.code} is archived."
            hint = (
                f'Take it back into use: PATCH /v1/materials/{found.code}, {{"archived": false}}.'
            )
            faults.append(Fault(text, "material-archived", pointer, hint=hint))
        elif wrong := line_problem(found.kind):
            text = f"{found.code} cannot be an ingredient: {wrong}."
            faults.append(Fault(text, "not-an-ingredient", pointer))
    if faults:
        raise Invalid(faults[0].detail, tuple(faults))


def _check_way_back(
    session: WriteSession, makes: str, materials: list[str], *, pointer: str | None = None
) -> None:
    """Raises ContainsItself at the line that leads back, or at the pointer given."""
    way = way_back(makes, materials, lambda code: queries.parts_of(session, code))
    if way is not None:
        place = pointer or f"#/lines/{materials.index(way[0])}/material"
        through = " holds ".join(way) if len(way) > 1 else f"a line is {way[0]} itself"
        text = f"{makes} would contain itself: {through}."
        raise ContainsItself(text, at(place, text, "recipe-contains-itself"))


def _write_lines(session: WriteSession, row: Version, wanted: VersionIn) -> None:
    for number, line in enumerate(wanted.lines, 1):
        session.add(
            Line(
                version=row.row_id,
                line=number,
                material=line.material,
                basis=line.basis,
                amount=line.amount,
                stage=line.stage or "cook",
            )
        )
    for number, step in enumerate(wanted.steps, len(wanted.lines) + 1):
        session.add(_step(row, number, step))
    session.flush()  # the answer shows them


def _step(row: Version, number: int, step: StepIn) -> Step:
    at_c = step.heat or step.cool
    return Step(
        version=row.row_id,
        line=number,
        stage=step.stage or ("strain" if step.do == "strain" else "cook"),
        do=step.do,
        to_c=_kept(at_c),
        seconds=None if step.hold is None else int(units.canonical(step.hold).to_integral_value()),
        until=step.strain or step.note or step.until,
    )


def approve(session: WriteSession, code: str, wanted: ApprovalIn) -> tuple[Version, dict[str, Any]]:
    """Freeze a version with its figures and every input. Raises UnknownRecipe, UnknownVersion,
    AlreadyApproved, ContainsItself."""
    recipe = queries.recipe(session, code)
    known = queries.versions(session, recipe.code)
    drafts = [version.number for version in known if version.state == "draft"]
    if wanted.version is None and not drafts:
        raise AlreadyApproved(f"{recipe.code} has no draft; version {known[-1].number} stands.")
    row = queries.version(session, recipe.code, wanted.version or drafts[-1])
    if row.state != "draft":
        raise AlreadyApproved(f"Version {row.number} of {recipe.code} is {row.state}.")
    lines = [line.material for line in queries.lines(session, row)]
    _check_way_back(session, recipe.makes, lines)
    row.state, row.approved_at = "approved", session.now
    row.approved_by = doer(session, wanted.by)
    session.add(row)
    session.flush()  # the frozen form shows it approved
    content = versions.worked_out(session, row)
    freeze_revision(
        session,
        "recipe-version",
        versions.subject(row),
        {"kind": "recipe-version", "makes": recipe.makes, "name": recipe.name, **content},
        audit_head=head(session)[1],
        by=row.approved_by,
    )
    filled = {"version": row.number, "by": row.approved_by}
    return row, {n: value for n, value in filled.items() if getattr(wanted, n) is None}


def change_recipe(
    session: WriteSession, code: str, patch: RecipePatch, condition: Condition
) -> Recipe:
    """Raises UnknownRecipe, PreconditionNeeded, Stale; ContainsItself where taking it back into
    use would close a circle."""
    row = queries.recipe(session, code)
    condition.meets(row)
    back = "archived" in patch.model_fields_set and not patch.archived
    if back and row.archived_at is not None:
        parts = queries.parts_in_force(session, row.code)
        _check_way_back(session, row.makes, sorted(parts), pointer="#/archived")
    named.change(session, row, patch.model_dump(exclude_unset=True))
    return row


def delete_recipe(session: WriteSession, code: str, condition: Condition) -> RecipeOut:
    """A recipe goes with its drafts. Raises UnknownRecipe, PreconditionNeeded, Stale, InUse."""
    row = queries.recipe(session, code)
    condition.meets(row)
    gone = queries.shown(session, row)
    if gone.approved is not None:
        raise InUse(f"Version {gone.approved} of {row.code} is approved; archive it instead.")
    for version in queries.versions(session, row.code):
        for part in (*queries.lines(session, version), *queries.steps(session, version)):
            session.delete(part)
        session.flush()  # the lines go before what they point at
        session.delete(version)
    session.flush()  # and the versions before the recipe
    named.delete(session, row)
    return gone
