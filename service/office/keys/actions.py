"""What changes at the key desk."""

from service.office.keys import queries
from service.office.keys._tables import ApiKey
from service.office.keys.bodies import KeyIn, KeyOut
from service.office.keys.rules import SCOPES, mint
from service.store.session import WriteSession


def create_key(session: WriteSession, wanted: KeyIn) -> tuple[KeyOut, str]:
    """A new key and its text, which is nowhere kept."""
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
    session.add(row)
    session.flush()  # the answer shows the row as it stands
    return queries.shown(row), text


def revoke_key(session: WriteSession, public_id: str) -> KeyOut:
    """End a key at once; ending it twice changes nothing."""
    row = queries.key(session, public_id)
    row.revoked_at = row.revoked_at or session.now
    session.add(row)
    return queries.shown(row)
