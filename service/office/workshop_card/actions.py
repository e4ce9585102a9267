"""What changes on the workshop card."""

from service.office.workshop_card import queries
from service.office.workshop_card._tables import Workshop
from service.office.workshop_card.bodies import WorkshopPatch
from service.store.session import WriteSession
from service.web.etags import Condition


def change_workshop(session: WriteSession, patch: WorkshopPatch, condition: Condition) -> Workshop:
    """Raises PreconditionNeeded, Stale."""
    row = queries.card(session)
    condition.meets_tag(queries.etag(row))
    for name, value in patch.model_dump(exclude_unset=True).items():
        setattr(row, name, tuple(value) if isinstance(value, list) else value)
    row.revision += 1
    session.add(row)
    return row
