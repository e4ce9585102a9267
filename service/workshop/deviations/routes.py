"""Deviations over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends

from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.deviations import actions, queries
from service.workshop.deviations.bodies import (
    Concluded,
    ConclusionCorrected,
    ConclusionCorrection,
    ConclusionIn,
    DeviationOut,
)
from service.workshop.deviations.rules import AlreadyConcluded, NotConcluded, UnknownDeviation

router = APIRouter(prefix="/v1/deviations", tags=["deviations"], route_class=Route)


@router.get("", summary="List the deviations, newest first")
def list_deviations(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[DeviationOut]:
    found = page(session, queries.LISTING, ask)
    return link(found, lambda row: queries.shown(session, row))


@router.get("/{number}", summary="Show a deviation", responses=problems(UnknownDeviation))
def get_deviation(number: str, session: Reading) -> DeviationOut:
    return queries.shown(session, queries.deviation(session, number))


@router.post(
    "/{number}/conclusions",
    status_code=201,
    summary="Conclude a deviation",
    responses=problems(UnknownDeviation, AlreadyConcluded),
)
def conclude_deviation(number: str, wanted: ConclusionIn, session: Writing) -> Concluded:
    row = actions.conclude(session, number, wanted)
    shown = queries.shown(session, row)
    assumed = {} if wanted.by else {"by": row.by, "happened_at": "now"}
    summary = f"{row.number} of {row.subject} concluded."
    return Concluded(**shown.model_dump(), assumed=assumed, summary=summary)


@router.post(
    "/{number}/conclusions/corrections",
    status_code=201,
    summary="Correct a conclusion, or void it and open the deviation again",
    responses=problems(UnknownDeviation, NotConcluded),
)
def correct_conclusion(
    number: str, wanted: ConclusionCorrection, session: Writing
) -> ConclusionCorrected:
    done = actions.correct_conclusion(session, number, wanted)
    row, by = done.row, done.row.by
    said = "voided; it is open again" if row.void else "put in other words"
    return ConclusionCorrected(
        **queries.shown(session, done.deviation).model_dump(),
        entry=row.row_id,
        corrects=done.old.row_id,
        was=done.old.text,
        void=row.void,
        reason=wanted.reason,
        assumed={} if wanted.by or by is None else {"by": by},
        summary=f"The conclusion of {done.deviation.number} is {said}.",
    )
