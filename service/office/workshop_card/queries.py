"""What is read of the workshop card."""

from datetime import date
from zoneinfo import ZoneInfo

from service.office.workshop_card._tables import Workshop
from service.office.workshop_card.bodies import WorkshopOut
from service.store.session import ReadSession
from service.web.money import money


def card(session: ReadSession) -> Workshop:
    """The one row; the first migration made it. Asked of the database once in a session."""
    # A session forgets a row that nobody holds, so it is held with the session itself.
    row: Workshop = session.info.get("card") or session.get_one(Workshop, 1)
    session.info["card"] = row
    return row


def zone(session: ReadSession) -> ZoneInfo:
    """The workshop's time zone: days are fixed in it when they are recorded."""
    return ZoneInfo(card(session).zone)


def today(session: ReadSession) -> date:
    """The day it is in the workshop."""
    return session.now.astimezone(zone(session)).date()


def etag(row: Workshop) -> str:
    return f'"workshop.{row.revision}"'


def shown(session: ReadSession, row: Workshop) -> WorkshopOut:
    unit = f"{row.currency}/h" if row.currency and "write" in session.actor.scopes else None
    return WorkshopOut(
        name=row.name,
        address=row.address,
        telephone=row.telephone,
        zone=row.zone,
        currency=row.currency,
        labour_rate=money(row.labour_rate, unit),
        public_address=row.public_address,
        vat_number=row.vat_number,
        markets=list(row.markets),
        languages=list(row.languages),
    )
