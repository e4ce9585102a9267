"""What is read of the checks around a fill."""

from collections.abc import Sequence
from typing import Any, TypeVar

from sqlmodel import col, select

from service.store.lists import Listing
from service.store.records import standing
from service.store.session import ReadSession
from service.web.fields import Amount
from service.workshop.batches.queries.record.shown import about
from service.workshop.lots._tables import Examination as Examination
from service.workshop.lots._tables import PlaceCheck as PlaceCheck
from service.workshop.lots._tables import Sample as Sample
from service.workshop.lots.checks.bodies import ExaminationOut, PlaceCheckOut, SampleOut
from service.workshop.lots.queries import fill_of
from service.workshop.stock import queries as stock
from service.workshop.stock.queries import Lot

E = TypeVar("E", PlaceCheck, Sample, Examination)

_SORTS = ("id", "happened_at")
PLACE_CHECKS = Listing(
    "place-checks", PlaceCheck, sorts=_SORTS, default_sort="id", times=("happened_at",)
)
SAMPLES = Listing("samples", Sample, sorts=_SORTS, default_sort="id", times=("happened_at",))
EXAMINATIONS = Listing(
    "examinations", Examination, sorts=_SORTS, default_sort="id", times=("happened_at",)
)


def standing_of(session: ReadSession, kind: type[E], lots: Sequence[Lot]) -> list[E]:
    """The entries of lots that were neither corrected nor voided, in the order of entry."""
    wanted = select(kind).where(col(kind.lot).in_([lot.row_id for lot in lots]), standing(kind))
    return list(session.exec(wanted.order_by(col(kind.id))))


def _entry(row: E, lot: Lot, corrected_by: int | None) -> dict[str, Any]:
    return {
        "entry": row.row_id,
        "lot": lot.number,
        "by": row.by,
        "happened_at": row.happened_at,
        "about": about(row.about_seconds),
        "entered_at": row.entered_at,
        "corrects": row.corrects,
        "corrected_by": corrected_by,
        "void": row.void,
        "reason": row.reason,
    }


def shown_place_check(row: PlaceCheck, lot: Lot, corrected_by: int | None = None) -> PlaceCheckOut:
    return PlaceCheckOut.model_validate(
        {
            **_entry(row, lot, corrected_by),
            "place": row.place,
            "moment": row.moment,
            "clear": row.clear,
            "text": row.text,
        }
    )


def shown_sample(row: Sample, lot: Lot, corrected_by: int | None = None) -> SampleOut:
    return SampleOut.model_validate(
        {
            **_entry(row, lot, corrected_by),
            "kind": row.kind,
            "amount": stock.held(lot, row.amount),
            "entered": Amount(value=row.entered_value, unit=row.entered_unit),
            "kept_at": row.kept_at,
            "keep_until": row.keep_until,
            "text": row.text,
            "movement": f"M-{row.movement}",
        }
    )


def shown_examination(
    session: ReadSession, row: Examination, lot: Lot, corrected_by: int | None = None
) -> ExaminationOut:
    fill = fill_of(session, lot)
    return ExaminationOut.model_validate(
        {
            **_entry(row, lot, corrected_by),
            "examined": row.examined,
            "leaking": row.leaking,
            "marred": row.marred,
            "appearance": row.appearance,
            "fill_check": fill.verdict if fill else "not-checked",
            "sound": not (row.leaking or row.marred),
        }
    )
