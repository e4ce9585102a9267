"""What changes at the people desk."""

from service.office.people import queries
from service.office.people._tables import Person
from service.office.people.bodies import PersonIn, PersonOut, PersonPatch
from service.store import named
from service.store.session import WriteSession
from service.web.etags import Condition


def create_person(session: WriteSession, wanted: PersonIn) -> Person:
    """Raises CodeTaken."""
    named.check_free(session, Person, wanted.code)
    row = Person(**wanted.model_dump(), created_at=session.now)
    session.add(row)
    session.flush()  # later rows of the same request may name this person
    return row


def change_person(
    session: WriteSession, code: str, patch: PersonPatch, condition: Condition
) -> Person:
    """Raises UnknownPerson, PreconditionNeeded, Stale."""
    row = queries.person(session, code)
    condition.meets(row)
    named.change(session, row, patch.model_dump(exclude_unset=True))
    return row


def delete_person(session: WriteSession, code: str, condition: Condition) -> PersonOut:
    """Raises UnknownPerson, PreconditionNeeded, Stale, InUse."""
    row = queries.person(session, code)
    condition.meets(row)
    gone = queries.shown(row)
    named.delete(session, row)
    return gone
