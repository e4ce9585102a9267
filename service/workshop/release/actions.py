"""The named acts on a lot: released with its sheet published, or rejected."""

from dataclasses import dataclass
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.documents.queries import Document
from service.office.people import queries as people
from service.office.workshop_card.queries import today
from service.store.lists import Ask, page
from service.store.numbers import yearly
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.labels import queries as labels
from service.workshop.lots import queries as lots
from service.workshop.release import queries
from service.workshop.release._tables import Act
from service.workshop.release.bodies import RejectionIn, ReleaseIn
from service.workshop.release.record.freezing import freeze_of_lot
from service.workshop.release.rules import AlreadyRejected, NamedPersonNeeded, NotReady
from service.workshop.sheets import actions as sheets
from service.workshop.stock.actions import set_quality
from service.workshop.stock.queries import Lot

_MOST_NAMED = 5


@dataclass
class Done:
    """An act, and what was filled in."""

    row: Act
    assumed: dict[str, Any]


def release(session: WriteSession, lot: Lot, wanted: ReleaseIn) -> Done:
    """Release a lot, its bulk where that is asked, and publish its sheet: all or nothing.

    Raises NotReady with everything that stands against it, NamedPersonNeeded, LabelNotFrozen.
    """
    label = _label(session, lot, wanted)
    found = queries.against(
        session, lot, label=label, with_bulk=wanted.with_bulk, waived=wanted.waiver is not None
    )
    if lot.kind != "packed" and wanted.retest_on is not None:
        # Looked at again on its day, and good for longer.
        found = [one for one in found if one.code != "already-released"]
    if found:
        more = f" {len(found) - 1} more in `errors`." if len(found) > 1 else ""
        faults = tuple(one.as_fault() for one in found)
        raise NotReady(f"{found[0].detail}{more}", faults)
    by, assumed = _named(session, wanted.by)
    _set_retest(session, lot, wanted)
    set_quality(session, lot, "released", condition=wanted.condition)
    bulk = lots.bulk_of(session, lot)
    if bulk.quality != "released":
        set_quality(session, bulk, "released")
        session.add(_act(session, bulk, by=by, reason=f"In one act with {lot.number}."))
    session.flush()  # the sheet's status is read from the qualities
    sheet = sheets.publish(session, lot, by) if lot.kind == "packed" else None
    row = _act(session, lot, by=by)
    row.condition, row.waiver = wanted.condition, wanted.waiver
    row.retest_on = wanted.retest_on
    row.label = label.row_id if label else None
    row.sheet = sheet.row_id if sheet else None
    session.add(row)
    if lot.kind == "packed":
        session.flush()  # the record is read from what was written
        freeze_of_lot(session, bulk, by)
    if label is not None and wanted.label is None:
        assumed["label"] = label.revision
    return Done(row, assumed)


def _set_retest(session: WriteSession, lot: Lot, wanted: ReleaseIn) -> None:
    """Raises Invalid for a day that is not still to come."""
    if wanted.retest_on is None:
        return
    if wanted.retest_on <= today(session):
        wrong = f"{wanted.retest_on.isoformat()} is not still to come."
        remedies = (Remedy("its retest date stays as it is", {"retest_on": None}),)
        raise Invalid(wrong, at("#/retest_on", wrong, "day-past", remedies=remedies))
    lot.retest_on = wanted.retest_on


def _act(session: WriteSession, lot: Lot, *, by: str, reason: str | None = None) -> Act:
    return Act(
        number=yearly(session, "A", session.now.year),
        lot=lot.row_id,
        act="release",
        **{**stamp(session, by=by), "reason": reason},
    )


def _label(session: WriteSession, lot: Lot, wanted: ReleaseIn) -> Document | None:
    if lot.kind != "packed":
        return None
    if wanted.label is None:
        return queries.label_on_jar(session, lot)
    return labels.revision(session, lot.number, wanted.label)


def _named(session: WriteSession, wanted: str | None) -> tuple[str, dict[str, Any]]:
    """The person who acts. Raises NamedPersonNeeded, proposing those there are."""
    by = people.doer(session, wanted)
    if by is not None:
        return by, {} if wanted else {"by": by}
    known = page(session, people.LISTING, Ask(limit=_MOST_NAMED)).rows
    ways = tuple(Remedy(f"{one.code} does it", {"by": one.code}) for one in known)
    hint = "Send by, a code of /v1/people; POST /v1/people makes one."
    wrong = "Neither the body nor the key says who does this."
    raise NamedPersonNeeded(wrong, at("#/by", wrong, "person-needed", hint=hint, remedies=ways))


def reject(session: WriteSession, lot: Lot, wanted: RejectionIn) -> Done:
    """Reject a lot for good; a published sheet says at once that it is off sale.

    Raises AlreadyRejected, NamedPersonNeeded.
    """
    if lot.quality in {"rejected", "recalled"}:
        raise AlreadyRejected(f"{lot.number} is {lot.quality} already.")
    by, assumed = _named(session, wanted.by)
    set_quality(session, lot, "rejected")
    session.flush()  # the sheet's status is read from the quality
    sheets.refresh(session, lot)
    row = Act(
        number=yearly(session, "A", session.now.year),
        lot=lot.row_id,
        act="reject",
        **{**stamp(session, by=by), "reason": wanted.reason},
    )
    session.add(row)
    return Done(row, assumed)
