"""What was measured in the pot over HTTP: figures of a batch."""

from typing import Annotated

from fastapi import APIRouter, Depends

from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.entries.readings import record_reading
from service.workshop.batches.answers import entries as answers
from service.workshop.batches.bodies.readings import BatchFigureIn, BatchFigureMade
from service.workshop.batches.rules import UnknownBatch
from service.workshop.materials.bodies import FigureOut
from service.workshop.materials.queries import FIGURES, shown_figure

router = APIRouter(prefix="/v1/batches", tags=["batches"], route_class=Route)


@router.post(
    "/{code}/figures",
    status_code=201,
    summary="Record what was measured in the pot, at the end of a stage or at any time",
    responses=problems(UnknownBatch),
)
def record_batch_figure(code: str, wanted: BatchFigureIn, session: Writing) -> BatchFigureMade:
    return answers.measured(*record_reading(session, code, wanted), wanted)


@router.get(
    "/{code}/figures", summary="List the figures of a batch", responses=problems(UnknownBatch)
)
def list_batch_figures(
    code: str, ask: Annotated[Ask, Depends(asking(FIGURES))], session: Reading, link: Linking
) -> Listed[FigureOut]:
    batch = queries.batch(session, code)
    own = {"subject_kind": "batch", "subject": batch.code}
    where = [FIGURES.column(name) == value for name, value in own.items()]
    found = page(session, FIGURES, ask, where=where)
    return link(found, lambda row: shown_figure(session, row))
