"""What changes on the workshop card."""

from service.errors import Invalid
from service.office.workshop_card import queries, rules
from service.office.workshop_card._tables import Workshop
from service.office.workshop_card.bodies import WorkshopPatch
from service.store.session import WriteSession
from service.web.etags import Condition

_MONEY = {"currency", "labour_rate"}


def change_workshop(session: WriteSession, patch: WorkshopPatch, condition: Condition) -> Workshop:
    """Raises PreconditionNeeded, Stale, Invalid."""
    row = queries.card(session)
    condition.meets_tag(queries.etag(row))
    sent = patch.model_dump(exclude_unset=True)
    if faults := rules.rate_faults(row.model_dump(include=_MONEY), sent):
        raise Invalid(faults[0].detail, faults)
    for name, value in sent.items():
        setattr(row, name, tuple(value) if isinstance(value, list) else value)
    row.revision += 1
    session.add(row)
    return row
