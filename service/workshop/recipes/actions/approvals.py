"""A draft is approved and frozen; an approved version is retired."""

from typing import Any

from service.errors import Invalid, at
from service.office.audit.queries import head
from service.office.documents.actions import freeze_revision
from service.office.people.queries import doer
from service.store.session import WriteSession
from service.workshop.recipes import queries
from service.workshop.recipes._tables import Version
from service.workshop.recipes.actions.drafts import impossible
from service.workshop.recipes.actions.nesting import check_nesting
from service.workshop.recipes.bodies import ApprovalIn, RetirementIn
from service.workshop.recipes.rules import AlreadyApproved, NotFrozen
from service.workshop.recipes.written import versions


def approve(session: WriteSession, code: str, wanted: ApprovalIn) -> tuple[Version, dict[str, Any]]:
    """Freeze a version with its figures and every input. Raises UnknownRecipe, UnknownVersion,
    AlreadyApproved, ContainsItself, TooDeep; Invalid where it cannot be made by what is known."""
    recipe = queries.recipe(session, code)
    row = _draft(session, recipe.code, wanted)
    lines = [line.material for line in queries.lines(session, row)]
    check_nesting(session, recipe.makes, lines)
    if (error := impossible(session, row)) is not None:
        wrong = f"Version {row.number} of {recipe.code} cannot be made: {error.message}."
        raise Invalid(wrong, at("#/version", wrong, error.code, hint=error.hint))
    row.state, row.approved_at = "approved", session.now
    row.approved_by = doer(session, wanted.by)
    session.add(row)
    session.flush()  # the frozen form shows it approved
    content = versions.worked_out(session, row)
    freeze_revision(
        session,
        "recipe-version",
        versions.subject(row),
        {
            "kind": "recipe-version",
            "makes": recipe.makes,
            "name": recipe.name,
            **content,
            "photo": row.photo,  # its name alone: whether it is here may change
        },
        audit_head=head(session)[1],
        by=row.approved_by,
    )
    filled = {"version": row.number, "by": row.approved_by}
    return row, {n: value for n, value in filled.items() if getattr(wanted, n) is None}


def _draft(session: WriteSession, code: str, wanted: ApprovalIn) -> Version:
    """The draft named, else the newest. Raises UnknownVersion, AlreadyApproved."""
    known = queries.versions(session, code)
    drafts = [version.number for version in known if version.state == "draft"]
    if wanted.version is None and not drafts:
        newest = known[-1]
        raise AlreadyApproved(f"{code} has no draft; version {newest.number} is {newest.state}.")
    row = queries.version(session, code, wanted.version or drafts[-1])
    if row.state != "draft":
        raise AlreadyApproved(f"Version {row.number} of {code} is {row.state}.")
    return row


def retire(
    session: WriteSession, code: str, wanted: RetirementIn
) -> tuple[Version, dict[str, Any]]:
    """Take an approved version out of use; its frozen form stays. Raises UnknownRecipe,
    UnknownVersion, NotFrozen, Invalid."""
    row = queries.version(session, code, wanted.version)
    if row.state != "approved":
        wrong = f"Version {row.number} of {row.recipe} is {row.state}."
        raise NotFrozen(wrong, at("#/version", wrong, NotFrozen.slug))
    row.state, row.retired_at, row.retired_for = "retired", session.now, wanted.reason
    row.retired_by = doer(session, wanted.by)
    session.add(row)
    session.flush()  # the answer says which version is used from now on
    return row, {"by": row.retired_by} if wanted.by is None else {}
