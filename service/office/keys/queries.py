"""What is read at the key desk."""

from sqlmodel import select

from service.office.keys._tables import ApiKey
from service.office.keys.bodies import KeyOut
from service.office.keys.rules import UnknownKey
from service.store.lists import Listing
from service.store.session import ReadSession

LISTING = Listing("keys", ApiKey, sorts=("public_id", "created_at"), default_sort="created_at")


def by_public_id(session: ReadSession, public_id: str) -> ApiKey | None:
    return session.exec(select(ApiKey).where(ApiKey.public_id == public_id)).first()


def key(session: ReadSession, public_id: str) -> ApiKey:
    """Raises UnknownKey."""
    if (row := by_public_id(session, public_id)) is None:
        raise UnknownKey(f"There is no key {public_id[:20]!r}.")
    return row


def any_key(session: ReadSession) -> bool:
    return session.exec(select(ApiKey.id).limit(1)).first() is not None


def shown(row: ApiKey) -> KeyOut:
    return KeyOut(
        key_id=row.public_id,
        name=row.name,
        scopes=list(row.scopes),
        person=row.person,
        created_at=row.created_at,
        expires_at=row.expires_at,
        revoked_at=row.revoked_at,
    )


def sees_costs(session: ReadSession) -> bool:
    """Whether the caller may see prices and suppliers."""
    return "write" in session.actor.scopes
