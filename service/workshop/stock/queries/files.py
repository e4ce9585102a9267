"""The files that lots and their entries name."""

from collections.abc import Iterable

from sqlmodel import col, select

from service.office.attachments.bodies import Attached
from service.office.attachments.queries import here
from service.office.attachments.rules import address_of
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.stock._tables import LifeEntry, Lot


def named_files(session: ReadSession, names: Iterable[str | None]) -> dict[str, Attached]:
    """Files by name, each with whether it was sent yet, in one query."""
    wanted = {name for name in names if name is not None}
    sent = here(session, wanted) if wanted else set()
    return {name: Attached(name=name, here=name in sent, href=address_of(name)) for name in wanted}


def certificates(session: ReadSession, lots: Iterable[Lot]) -> dict[int, Attached]:
    """By lot its certificate: the one that came last, in two queries for all of them."""
    first = {lot.row_id: lot.certificate for lot in lots}
    names = {key: name for key, name in first.items() if name is not None}
    later = session.exec(
        select(LifeEntry.lot, LifeEntry.certificate)
        .where(
            col(LifeEntry.lot).in_(first),
            col(LifeEntry.certificate).is_not(None),
            standing(LifeEntry),
        )
        .order_by(col(LifeEntry.happened_at), col(LifeEntry.id))
    )
    names.update({lot: name for lot, name in later if name is not None})
    files = named_files(session, names.values())
    return {key: files[name] for key, name in names.items()}
