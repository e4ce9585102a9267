"""What changes at the key desk."""

from sqlalchemy.exc import IntegrityError

from service.errors import Invalid, at
from service.office.keys import queries
from service.office.keys._tables import ApiKey
from service.office.keys.bodies import KeyIn, KeyOut
from service.office.keys.rules import SCOPES, mint
from service.store.numbers import mark_drawn
from service.store.session import WriteSession


def create_key(session: WriteSession, wanted: KeyIn) -> tuple[KeyOut, str]:
    """A new key and its text, which is nowhere kept. Raises Invalid for an unknown person."""
    text, credential = mint()
    row = ApiKey(
        public_id=credential.public_id,
        name=wanted.name,
        digest=credential.digest,
        scopes=tuple(scope for scope in SCOPES if scope in wanted.scopes),
        person=wanted.person,
        created_at=session.now,
        expires_at=wanted.expires_at,
    )
    try:
        session.add(row)
        session.flush()  # here the foreign key says whether the person is known
    except IntegrityError:
        wrong = f"Nobody here has the code {wanted.person}."
        hint = "Make the person first: POST /v1/people."
        raise Invalid(wrong, at("#/person", wrong, "person-unknown", hint=hint)) from None
    mark_drawn(session, row.public_id)
    mark_drawn(session, text)
    return queries.shown(row), text


def revoke_key(session: WriteSession, public_id: str) -> KeyOut:
    """End a key at once; ending it twice changes nothing."""
    row = queries.key(session, public_id)
    row.revoked_at = row.revoked_at or session.now
    session.add(row)
    return queries.shown(row)
