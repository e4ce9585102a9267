"""Checks around a fill over HTTP: the place, samples, examinations."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path

from service.errors import AlreadyCorrected
from service.office.keys.rules import ScopeNeeded
from service.store.lists import Ask, page
from service.store.records import UnknownEntry, corrections_of
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.lots.checks import answers, examinations, places, queries, samples
from service.workshop.lots.checks.bodies import (
    ExaminationCorrection,
    ExaminationIn,
    ExaminationMade,
    ExaminationOut,
    PlaceCheckCorrection,
    PlaceCheckIn,
    PlaceCheckMade,
    PlaceCheckOut,
    SampleCorrection,
    SampleIn,
    SampleMade,
    SampleOut,
)
from service.workshop.lots.checks.queries import Examination, PlaceCheck, Sample
from service.workshop.lots.rules import NotFilled
from service.workshop.stock.queries import lot as lot_of
from service.workshop.stock.rules import DensityNeeded, MistypedLot, UnknownLot

router = APIRouter(prefix="/v1/lots/{lot}", tags=["lots"], route_class=Route)

_LOT = (UnknownLot, MistypedLot)
_CORRECTING = (*_LOT, UnknownEntry, AlreadyCorrected, ScopeNeeded)
Entry = Annotated[int, Path(ge=1, lt=2**63, description="As the list of the lot shows it")]


@router.get(
    "/place-checks",
    summary="List the checks of the place where a lot was filled and labelled",
    responses=problems(*_LOT),
)
def list_place_checks(
    lot: str,
    ask: Annotated[Ask, Depends(asking(queries.PLACE_CHECKS))],
    session: Reading,
    link: Linking,
) -> Listed[PlaceCheckOut]:
    row = lot_of(session, lot)
    where = (PlaceCheck.lot == row.row_id,)
    found = page(session, queries.PLACE_CHECKS, ask, where=where)
    later = corrections_of(session, found.rows)
    return link(found, lambda one: queries.shown_place_check(one, row, later.get(one.row_id)))


@router.post(
    "/place-checks",
    status_code=201,
    summary="Record whether the place was clear before or after filling or labelling",
    description="Before the fill the packed lot has no number yet: then on the bulk lot, where it "
    "stands for the fills of its day.",
    responses=problems(*_LOT),
)
def record_place_check(lot: str, wanted: PlaceCheckIn, session: Writing) -> PlaceCheckMade:
    row = lot_of(session, lot)
    made, flags = places.record_place_check(session, row, wanted)
    return answers.checked(made, row, flags, wanted)


@router.post(
    "/place-checks/{entry}/corrections",
    status_code=201,
    summary="Correct or void a check of the place",
    responses=problems(*_CORRECTING),
)
def correct_place_check(
    lot: str, entry: Entry, wanted: PlaceCheckCorrection, session: Writing
) -> PlaceCheckMade:
    row = lot_of(session, lot)
    made, flags = places.correct_place_check(session, row, entry, wanted)
    return answers.checked(made, row, flags, wanted)


@router.get("/samples", summary="List the samples taken of a lot", responses=problems(*_LOT))
def list_samples(
    lot: str,
    ask: Annotated[Ask, Depends(asking(queries.SAMPLES))],
    session: Reading,
    link: Linking,
) -> Listed[SampleOut]:
    row = lot_of(session, lot)
    found = page(session, queries.SAMPLES, ask, where=(Sample.lot == row.row_id,))
    later = corrections_of(session, found.rows)
    return link(found, lambda one: queries.shown_sample(one, row, later.get(one.row_id)))


@router.post(
    "/samples",
    status_code=201,
    summary="Record a sample taken of a lot, to keep or to test",
    description="It leaves the ledger. One beyond what is left is a fact: it is kept and flagged.",
    responses=problems(*_LOT, DensityNeeded),
)
def record_sample(lot: str, wanted: SampleIn, session: Writing) -> SampleMade:
    row = lot_of(session, lot)
    return answers.taken(session, samples.record_sample(session, row, wanted), row, wanted)


@router.post(
    "/samples/{entry}/corrections",
    status_code=201,
    summary="Correct or void a sample; the ledger follows",
    responses=problems(*_CORRECTING, DensityNeeded),
)
def correct_sample(
    lot: str, entry: Entry, wanted: SampleCorrection, session: Writing
) -> SampleMade:
    row = lot_of(session, lot)
    return answers.taken(session, samples.correct_sample(session, row, entry, wanted), row, wanted)


@router.get(
    "/examinations", summary="List the examinations of filled packs", responses=problems(*_LOT)
)
def list_examinations(
    lot: str,
    ask: Annotated[Ask, Depends(asking(queries.EXAMINATIONS))],
    session: Reading,
    link: Linking,
) -> Listed[ExaminationOut]:
    row = lot_of(session, lot)
    found = page(session, queries.EXAMINATIONS, ask, where=(Examination.lot == row.row_id,))
    later = corrections_of(session, found.rows)
    return link(
        found, lambda one: queries.shown_examination(session, one, row, later.get(one.row_id))
    )


@router.post(
    "/examinations",
    status_code=201,
    summary="Record how filled packs look, and whether they leak",
    responses=problems(*_LOT, NotFilled),
)
def record_examination(lot: str, wanted: ExaminationIn, session: Writing) -> ExaminationMade:
    row = lot_of(session, lot)
    made, flags = examinations.record_examination(session, row, wanted)
    return answers.examined(session, made, row, flags=flags, wanted=wanted)


@router.post(
    "/examinations/{entry}/corrections",
    status_code=201,
    summary="Correct or void an examination",
    responses=problems(*_CORRECTING, NotFilled),
)
def correct_examination(
    lot: str, entry: Entry, wanted: ExaminationCorrection, session: Writing
) -> ExaminationMade:
    row = lot_of(session, lot)
    made, flags = examinations.correct_examination(session, row, entry, wanted)
    return answers.examined(session, made, row, flags=flags, wanted=wanted)
