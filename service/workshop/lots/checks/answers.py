"""What is answered to a check: the fact as kept, what was assumed, what was flagged."""

from collections.abc import Sequence
from typing import Any

from service.store.session import ReadSession
from service.web.corrections import CorrectionIn
from service.workshop.deviations.bodies import Flag
from service.workshop.lots.checks import queries
from service.workshop.lots.checks.bodies import (
    ExaminationIn,
    ExaminationMade,
    PlaceCheckIn,
    PlaceCheckMade,
    SampleIn,
    SampleMade,
)
from service.workshop.lots.checks.queries import Examination, PlaceCheck, Sample
from service.workshop.lots.checks.samples import Taken
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot


def checked(
    row: PlaceCheck, lot: Lot, flags: Sequence[Flag], wanted: PlaceCheckIn | CorrectionIn
) -> PlaceCheckMade:
    where = "filling and labelling" if row.place == "both" else row.place
    said = "clear" if row.clear else "not clear"
    return PlaceCheckMade(
        **queries.shown_place_check(row, lot).model_dump(),
        flags=list(flags),
        assumed=_assumed(row, wanted),
        summary=_told(row, f"{lot.number}: place of {where} {said} {row.moment} the work."),
    )


def taken(
    session: ReadSession, found: Taken, lot: Lot, wanted: SampleIn | CorrectionIn
) -> SampleMade:
    row = found.row
    left = stock.left(session, [lot.row_id])[lot.row_id]
    density = {"density": found.density} if found.density else {}
    where = f", kept at {row.kept_at}" if row.kept_at else ""
    purpose = "to keep" if row.kind == "retained" else "to test"
    amount = stock.said(lot, row.amount)
    return SampleMade(
        **queries.shown_sample(row, lot).model_dump(),
        left=stock.held(lot, left),
        flags=found.flags,
        assumed={**_assumed(row, wanted), **density},
        summary=_told(row, f"{amount} of {lot.number} taken {purpose}{where}."),
    )


def examined(
    session: ReadSession,
    row: Examination,
    lot: Lot,
    *,
    flags: Sequence[Flag],
    wanted: ExaminationIn | CorrectionIn,
) -> ExaminationMade:
    shown = queries.shown_examination(session, row, lot)
    found = "all sound" if shown.sound else f"{row.leaking} leak, {row.marred} look wrong"
    return ExaminationMade(
        **shown.model_dump(),
        flags=list(flags),
        assumed=_assumed(row, wanted),
        summary=_told(row, f"{row.examined} packs of {lot.number} looked at: {found}."),
    )


def _told(row: PlaceCheck | Sample | Examination, text: str) -> str:
    if row.void:
        return f"Voided: {text}"
    return text if row.corrects is None else f"Corrected: {text}"


def _assumed(row: PlaceCheck | Sample | Examination, wanted: Any) -> dict[str, Any]:
    """Who and when, where they were not said; what a correction tells, happened when it did."""
    found: dict[str, Any] = {} if wanted.by or row.by is None else {"by": row.by}
    if not isinstance(wanted, CorrectionIn) and wanted.happened_at is None:
        found["happened_at"] = "now"
    return found
