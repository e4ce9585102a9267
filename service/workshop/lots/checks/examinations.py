"""Examinations of filled packs."""

from collections.abc import Mapping

from service.errors import Invalid, Remedy, at
from service.office.people.queries import doer
from service.store.records import stamp
from service.store.session import WriteSession
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.lots.checks.bodies import ExaminationCorrection, ExaminationIn
from service.workshop.lots.checks.corrections import changed, correctable, corrected
from service.workshop.lots.checks.queries import Examination
from service.workshop.lots.queries import Fill, fill_of
from service.workshop.lots.rules import NotFilled
from service.workshop.stock.actions.times import check_past
from service.workshop.stock.queries import Lot


def record_examination(
    session: WriteSession, lot: Lot, wanted: ExaminationIn
) -> tuple[Examination, list[Flag]]:
    """Packs that leak or look wrong are kept as they were found, and open a deviation.

    Raises NotFilled; Invalid where more were looked at than were filled, or for a time to come.
    """
    fill = _filled(session, lot)
    _check_count(fill, wanted.examined, {"examined": fill.count}, "#/examined")
    check_past(session, wanted.happened_at)
    row = Examination(
        lot=lot.row_id,
        examined=wanted.examined,
        leaking=wanted.leaking,
        marred=wanted.marred,
        appearance=wanted.appearance,
        **stamp(session, by=doer(session, wanted.by), happened_at=wanted.happened_at),
    )
    session.add(row)
    session.flush()  # the answer shows its key
    return row, _flags(session, lot, row, None)


def correct_examination(
    session: WriteSession, lot: Lot, number: int, wanted: ExaminationCorrection
) -> tuple[Examination, list[Flag]]:
    """Raises UnknownEntry, AlreadyCorrected, ScopeNeeded, NotFilled, Invalid."""
    old = correctable(session, Examination, lot, number)
    changes = changed(wanted)
    fill, examined = _filled(session, lot), changes.get("examined", old.examined)
    whole = {"replaces": {"examined": fill.count}}
    _check_count(fill, examined, whole, "#/replaces/examined")
    for name in ("leaking", "marred"):
        if changes.get(name, getattr(old, name)) > examined:
            wrong = f"{changes.get(name, getattr(old, name))} of {examined} packs cannot be."
            raise Invalid(wrong, at(f"#/replaces/{name}", wrong, "more-than-examined"))
    row = corrected(session, old, wanted, changes)
    return row, _flags(session, lot, row, old)


def _filled(session: WriteSession, lot: Lot) -> Fill:
    fill = fill_of(session, lot)
    if fill is None:
        raise NotFilled(f"No packs of {lot.number} were filled here.")
    return fill


def _check_count(fill: Fill, examined: int, whole: Mapping[str, object], pointer: str) -> None:
    if examined > fill.count:
        wrong = f"{examined} packs were looked at; {fill.count} were filled."
        remedy = Remedy("all of them were looked at", whole)
        raise Invalid(wrong, at(pointer, wrong, "more-than-packs", remedies=(remedy,)))


_FOUND = {"leaking": ("packs-leak", "leak"), "marred": ("packs-marred", "look wrong")}


def _flags(
    session: WriteSession, lot: Lot, row: Examination, before: Examination | None
) -> list[Flag]:
    """What was found for the first time; a correction that changes a number opens nothing anew."""
    if row.void:
        return []
    flags = []
    for name, (code, does) in _FOUND.items():
        count = getattr(row, name)
        if count and not (before is not None and getattr(before, name)):
            text = f"{count} of {row.examined} packs of {lot.number} {does}: {row.appearance}"
            fact = Fact("lot", lot.number, code, text[:600])
            flags.append(open_deviation(session, fact, by=row.by))
    return flags
