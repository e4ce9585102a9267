"""What is read at the people desk."""

from service.errors import Invalid, at
from service.office.people._tables import Person
from service.office.people.bodies import PersonOut
from service.office.people.rules import UnknownPerson
from service.store import named
from service.store.lists import Listing
from service.store.session import ReadSession

LISTING = Listing("people", Person, sorts=("code", "created_at"), default_sort="code")


def person(session: ReadSession, code: str) -> Person:
    """Raises UnknownPerson."""
    return named.get(session, Person, code, missing=UnknownPerson)


def doer(session: ReadSession, by: str | None, *, pointer: str = "#/by") -> str | None:
    """Who acts: the person named, else the key's. Raises Invalid for a code nobody bears."""
    if by is None:
        return session.actor.person
    if named.find(session, Person, by) is None:
        hint = "Make the person first: POST /v1/people."
        raise Invalid(
            f"Nobody here has the code {by}.",
            at(pointer, f"Nobody here has the code {by}.", "person-unknown", hint=hint),
        )
    return by


def shown(row: Person) -> PersonOut:
    return PersonOut(
        code=row.code,
        name=row.name,
        role=row.role,
        created_at=row.created_at,
        archived_at=row.archived_at,
    )
