"""What changes with labels: a revision is frozen, a print run is counted."""

from dataclasses import dataclass
from typing import Any

from service.errors import Invalid, at, below
from service.office.audit.queries import head
from service.office.documents.actions import freeze_revision
from service.office.documents.queries import Document
from service.office.keys.rules import ScopeNeeded
from service.office.people.queries import doer
from service.store.records import Amends, amend, stamp
from service.store.session import WriteSession
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.labels import queries
from service.workshop.labels._tables import Labelling
from service.workshop.labels.bodies import LabelIn, LabellingCorrection, LabellingIn
from service.workshop.labels.rules import Counted, LabelNotFrozen, count_problems
from service.workshop.lots import queries as lots
from service.workshop.products import queries as products
from service.workshop.stock import actions as stock
from service.workshop.stock import queries as stocked
from service.workshop.stock.actions import Move
from service.workshop.stock.queries import Lot


@dataclass
class Outcome:
    """A count with the facts that do not add up, and what was filled in."""

    row: Labelling
    flags: list[Flag]
    assumed: dict[str, Any]


def freeze_label(
    session: WriteSession, lot: Lot, wanted: LabelIn
) -> tuple[Document, dict[str, Any]]:
    """The draft as it stands becomes the next revision. Raises NotPacked, MarketMissing."""
    queries.check_packed(lot)
    market = queries.market_for(session, lot, wanted.market)
    language = queries.language_for(session, wanted.language)
    by = doer(session, wanted.by)
    filled = {"market": market, "language": language, "by": by}
    row = freeze_revision(
        session,
        "label",
        lot.number,
        queries.content(session, lot, market, language),
        audit_head=head(session)[1],
        by=by,
    )
    absent = {name: value for name, value in filled.items() if getattr(wanted, name) is None}
    return row, {name: value for name, value in absent.items() if value is not None}


def record_labelling(session: WriteSession, lot: Lot, wanted: LabellingIn) -> Outcome:
    """Count a print run of a frozen revision; what does not add up is kept and flagged.

    Raises NotPacked, LabelNotFrozen, Invalid for a label lot that is none.
    """
    queries.check_packed(lot)
    document = queries.revision(session, lot.number, wanted.revision)
    by = doer(session, wanted.by)
    label_lot, assumed = _label_lot(session, lot, wanted)
    if wanted.revision is None:
        assumed["revision"] = document.revision
    if wanted.by is None and by is not None:
        assumed["by"] = by
    row = Labelling(
        lot=lot.row_id,
        document=document.row_id,
        printed=wanted.printed,
        used=wanted.used,
        spoiled=wanted.spoiled,
        label_lot=label_lot.row_id if label_lot else None,
        **stamp(session, by=by, happened_at=wanted.happened_at),
    )
    session.add(row)
    session.flush()  # the movement names it
    flags = _flags(session, lot, row)
    if label_lot is not None and wanted.printed:
        flags += _draw(session, label_lot, row)
    return Outcome(row, flags, assumed)


def correct_labelling(
    session: WriteSession, lot: Lot, number: int, wanted: LabellingCorrection
) -> Outcome:
    """Put a count right; the blank labels that were drawn by it are given back or drawn anew.

    Raises UnknownEntry, AlreadyCorrected, ScopeNeeded, LabelNotFrozen, Invalid.
    """
    old = queries.labelling(session, lot, number)
    if lot.quality != "quarantine" and "release" not in session.actor.scopes:
        wrong = f"{lot.number} is {lot.quality}; correcting its labels needs the scope release."
        raise ScopeNeeded(wrong, more={"needs": "release"})
    by = doer(session, wanted.by)
    row = amend(
        session, old, Amends(wanted.reason, by, wanted.void), _changes(session, lot, wanted)
    )
    flags = _redraw(session, old, row)
    flags += [] if wanted.void else _flags(session, lot, row)
    return Outcome(row, flags, {} if wanted.by or by is None else {"by": by})


def _changes(session: WriteSession, lot: Lot, wanted: LabellingCorrection) -> dict[str, Any]:
    if wanted.replaces is None:
        return {}
    changes = wanted.replaces.changed()
    if (number := changes.pop("revision", None)) is not None:
        try:
            changes["document"] = queries.revision(session, lot.number, number).row_id
        except LabelNotFrozen as missing:
            raise LabelNotFrozen(missing.detail, below(missing.faults, "replaces")) from None
    if (sent := changes.get("label_lot")) is not None:
        blank = stocked.lot_in_body(session, sent, pointer="#/replaces/label_lot")
        _check_counted(blank, "#/replaces/label_lot")
        changes["label_lot"] = blank.row_id
    return changes


def _redraw(session: WriteSession, old: Labelling, row: Labelling) -> list[Flag]:
    """What makes the ledger of the blank labels agree with the count as it stands now."""
    drawn = {old.label_lot: old.printed}
    now = 0 if row.void else row.printed
    drawn[row.label_lot] = drawn.get(row.label_lot, 0) - now
    flags = []
    for key, back in drawn.items():
        if key is None or not back:
            continue
        movement = Move(
            amount=back,
            cause="correction",
            cause_ref=f"labelling {row.row_id}",
            by=row.by,
            happened_at=row.happened_at,
            reason=row.reason,
        )
        flags.append(stock.move(session, stocked.lot_by_id(session, key), movement, plan=False))
    return [flag for flag in flags if flag]


def _label_lot(
    session: WriteSession, lot: Lot, wanted: LabellingIn
) -> tuple[Lot | None, dict[str, Any]]:
    """The lot of blank labels to draw from: the one sent, else the pack's only open one."""
    kind = products.pack(session, lot.product or "", lot.pack or "").label
    if wanted.label_lot is not None:
        sent = stocked.lot_in_body(session, wanted.label_lot, pointer="#/label_lot")
        _check_counted(sent, "#/label_lot")
        return sent, {}
    if kind is None:
        return None, {}
    there = stocked.open_lots(session, kind)
    if len(there) != 1:
        return None, {"label_lot": None}
    return there[0].lot, {"label_lot": there[0].lot.number}


def _check_counted(sent: Lot, pointer: str) -> None:
    if sent.measure == "count" and sent.kind != "packed":
        return
    wrong = f"{sent.number} is a lot of {sent.material}, which is no label."
    hint = "Send the lot of blank labels, or leave it out."
    raise Invalid(wrong, at(pointer, wrong, "not-a-label", hint=hint))


def _flags(session: WriteSession, lot: Lot, row: Labelling) -> list[Flag]:
    fill = lots.fill_of(session, lot)
    in_all = sum(run.used for run in queries.labellings(session, lot))
    counted = Counted(row.printed, row.used, row.spoiled, in_all, fill.count if fill else None)
    return [
        open_deviation(session, Fact("lot", lot.number, code, text), by=row.by)
        for code, text in count_problems(counted)
    ]


def _draw(session: WriteSession, label_lot: Lot, row: Labelling) -> list[Flag]:
    movement = Move(
        amount=-row.printed,
        cause="labelling",
        cause_ref=f"labelling {row.row_id}",
        by=row.by,
        happened_at=row.happened_at,
    )
    flag = stock.move(session, label_lot, movement, plan=False)
    return [flag] if flag else []
