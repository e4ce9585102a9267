"""Files of loggers over HTTP: at a kettle's address, or at that of a batch."""

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request, Response

from service.errors import AlreadyCorrected
from service.office.equipment.queries import equipment
from service.office.equipment.rules import UnknownEquipment
from service.office.keys.rules import ScopeNeeded
from service.store.lists import Ask
from service.store.session import WriteSession
from service.web.asked import asked, of_address
from service.web.files import FileRoute, WrongFileKind, taking
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.batches import queries
from service.workshop.batches.actions.cook import files as cook_files
from service.workshop.batches.actions.cook.files import Taken
from service.workshop.batches.bodies.cook_files import (
    MOST_BYTES,
    MOST_ROWS,
    AsideOut,
    CookLogCorrected,
    CookLogCorrectionIn,
    CookLogMade,
    CookLogOut,
    LogForm,
)
from service.workshop.batches.logger import files as logger_files
from service.workshop.batches.logger.files import LogFile
from service.workshop.batches.queries.cook import files as shelf
from service.workshop.batches.queries.cook.files import UnknownCookLog
from service.workshop.batches.rules import LoggerFile, UnknownBatch

_KINDS = ("text/csv",)
_FEW = 50
_SAYS = (
    "The file as it is (`curl -T log.csv -H 'Content-Type: text/csv'`); the query says which "
    f"columns hold what and how they are written. At most {MOST_BYTES // 10**6} MB and "
    f"{MOST_ROWS:,} rows, all or nothing. The same file again is answered 200 and writes nothing; "
    "of a longer one only what is new is kept. "
)


class CookLogRoute(FileRoute):
    """Reads the file that was sent before the route asks for a turn."""

    @classmethod
    def opened(cls, request: Request, _: str, body: bytes) -> tuple[LogForm, LogFile]:
        form = of_address(LogForm, request.query_params)
        return form, logger_files.read(body, form)


def _file(request: Request) -> LogFile:
    found: LogFile = request.state.opened[1]
    return found


Form = Annotated[LogForm, Depends(asked(LogForm))]
File = Annotated[LogFile, Depends(_file)]
_ANSWERS: dict[int | str, dict[str, Any]] = {
    200: {"model": CookLogMade, "description": "It was here already."}
}

router = APIRouter(prefix="/v1", tags=["batches"])
_files = APIRouter(prefix="/v1", tags=["batches"], route_class=CookLogRoute)
_rest = APIRouter(prefix="/v1", tags=["batches"], route_class=Route)


@_files.post(
    "/equipment/{code}/cook-logs",
    status_code=201,
    summary="Take in the file of a logger at its kettle",
    description=_SAYS + "Its points join the batches that had the kettle at their times.",
    responses=problems(UnknownEquipment, WrongFileKind, LoggerFile) | _ANSWERS,
    openapi_extra=taking(_KINDS, MOST_BYTES),
)
def store_kettle_cook_log(
    code: str, form: Form, file: File, session: Writing, response: Response
) -> CookLogMade:
    taken = cook_files.to_kettle(session, code, file, form)
    return _made(session, taken, file=file, form=form, response=response)


@_files.post(
    "/batches/{code}/cook-logs",
    status_code=201,
    summary="Take in the file of a logger for a batch",
    description=_SAYS + "All its points are those of the batch.",
    responses=problems(UnknownBatch, WrongFileKind, LoggerFile) | _ANSWERS,
    openapi_extra=taking(_KINDS, MOST_BYTES),
)
def store_batch_cook_log(
    code: str, form: Form, file: File, session: Writing, response: Response
) -> CookLogMade:
    taken = cook_files.to_batch(session, code, file, form)
    return _made(session, taken, file=file, form=form, response=response)


@_rest.get(
    "/equipment/{code}/cook-logs",
    summary="List the files of loggers at a kettle, newest first",
    responses=problems(UnknownEquipment),
)
def list_kettle_cook_logs(
    code: str,
    ask: Annotated[Ask, Depends(asking(shelf.LISTING))],
    session: Reading,
    link: Linking,
) -> Listed[CookLogOut]:
    found = shelf.logs_page(session, ask, kettle=equipment(session, code).code)
    shown = shelf.shown_logs(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@_rest.get(
    "/batches/{code}/cook-logs",
    summary="List the files that brought a batch points, newest first",
    responses=problems(UnknownBatch),
)
def list_batch_cook_logs(
    code: str,
    ask: Annotated[Ask, Depends(asking(shelf.LISTING))],
    session: Reading,
    link: Linking,
) -> Listed[CookLogOut]:
    found = shelf.logs_page(session, ask, batch=queries.batch(session, code))
    shown = shelf.shown_logs(session, found.rows)
    return link(found, lambda row: shown[row.row_id])


@_rest.get(
    "/cook-logs/{log}",
    summary="Get what is kept of a logger's file",
    responses=problems(UnknownCookLog),
)
def get_cook_log(log: int, session: Reading) -> CookLogOut:
    row = shelf.cook_log(session, log)
    return shelf.shown_logs(session, [row])[row.row_id]


@_rest.post(
    "/cook-logs/{log}/corrections",
    status_code=201,
    summary="Correct a logger's file as a whole: void it, or move it in time",
    responses=problems(UnknownCookLog, AlreadyCorrected, ScopeNeeded),
)
def correct_cook_log(log: int, wanted: CookLogCorrectionIn, session: Writing) -> CookLogCorrected:
    taken = cook_files.correct_log(session, log, wanted)
    row = taken.log
    said = "voided" if wanted.void else "moved in time"
    return CookLogCorrected(
        **shelf.shown_logs(session, [row])[row.row_id].model_dump(),
        batches=shelf.codes_of(session, taken.batches),
        flags=taken.flags,
        assumed={"by": row.by} if wanted.by is None and row.by else {},
        summary=f"The points of log {log} {said}: log {row.row_id}.",
    )


def _made(
    session: WriteSession, taken: Taken, *, file: LogFile, form: LogForm, response: Response
) -> CookLogMade:
    row = taken.log
    if not taken.new:
        response.status_code = 200
    codes = shelf.codes_of(session, taken.batches)
    where = f"joined {', '.join(codes)}" if codes else "waiting for a batch in this kettle"
    told = f"{row.stored} stored, {row.known} known, {row.set_aside} set aside; {where}."
    return CookLogMade(
        **shelf.shown_logs(session, [row])[row.row_id].model_dump(),
        batches=codes,
        aside=_aside(file) if taken.new else [],
        flags=taken.flags,
        assumed=_assumed(file, form),
        summary=told if taken.new else f"This file is here already, as log {row.row_id}.",
    )


def _aside(file: LogFile) -> list[AsideOut]:
    return [
        AsideOut(row=row.row, seq=row.seq, why=row.why) for row in file.rows if row.why is not None
    ][:_FEW]


def _assumed(file: LogFile, form: LogForm) -> dict[str, Any]:
    """What was not stated of the form, and the row that was left out."""
    sent = form.model_fields_set
    told = {name: getattr(form, name) for name in ("unit", "times", "decimal") if name not in sent}
    if file.torn is not None:
        told["left_out"] = f"row {file.torn}, which breaks off"
    return told


for part in (_files, _rest):
    router.routes.extend(part.routes)
