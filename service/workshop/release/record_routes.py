"""Batch records over HTTP: as JSON, as a page to print, as a PDF."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Path, Query, Request, Response

from service.office.documents.rules import UnknownDocument
from service.press.html import Paper
from service.web.negotiation import page, prefers_html
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading
from service.workshop.batches.queries import batch as batch_of
from service.workshop.batches.rules import UnknownBatch
from service.workshop.release.record import printed, record
from service.workshop.release.record.bodies import BatchRecordOut

router = APIRouter(prefix="/v1/batches/{code}/record", tags=["release"], route_class=Route)

_HTML: dict[int | str, dict[str, Any]] = {
    200: {"content": {"text/html": {"schema": {"type": "string"}}}}
}
_PDF: dict[int | str, dict[str, Any]] = {
    200: {"content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}}}
}
_FROZEN: dict[int | str, dict[str, Any]] = {
    200: {"content": {"application/json": {"schema": {"type": "object"}}}}
}
_CACHE = "private, no-cache"
Number = Annotated[int, Path(ge=1, le=100_000, description="Revision of the record")]
AskPaper = Annotated[Paper, Query(description="Size of the page.")]


def _as_page(
    request: Request,
    form: Annotated[
        Literal["json", "html"] | None, Query(description="Where absent, by the Accept header.")
    ] = None,
) -> bool:
    """Whether a page is asked for. Raises NotAcceptable."""
    return form == "html" or (form is None and prefers_html(request))


AsPage = Annotated[bool, Depends(_as_page)]


def _answer(found: BatchRecordOut, as_page: bool, response: Response) -> BatchRecordOut | Response:
    if as_page:
        return page(printed.page(found), cache=_CACHE)
    response.headers["Vary"] = "Accept"
    return found


def _pdf(found: BatchRecordOut, paper: Paper) -> Response:
    name = f"{found.batch}-record{f'-r{found.revision}' if found.revision else ''}.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"', "Cache-Control": _CACHE}
    return Response(printed.pdf(found, paper), media_type="application/pdf", headers=headers)


@router.get(
    "",
    summary="Show the record of a batch as it stands now, with what is missing",
    description="Items A0 to A13. One stands only with what was entered; A6, A8, A9, A10 and A13 "
    "are of packs and stand as `not yet` until there are some. Frozen at completion, and again "
    "when a lot filled from the batch is released.",
    response_model=BatchRecordOut,
    responses=_HTML | problems(UnknownBatch),
)
def get_batch_record(
    code: str, as_page: AsPage, session: Reading, response: Response
) -> BatchRecordOut | Response:
    found = record.draft(session, batch_of(session, code))
    return _answer(found, as_page, response)


@router.get(
    ".pdf",
    summary="Print the record of a batch as it stands now",
    responses=_PDF | problems(UnknownBatch),
    response_class=Response,
)
def get_batch_record_pdf(code: str, session: Reading, paper: AskPaper = "a4") -> Response:
    return _pdf(record.draft(session, batch_of(session, code)), paper)


@router.get(
    "/revisions/{number}.pdf",
    summary="Print a frozen record of a batch",
    responses=_PDF | problems(UnknownBatch, UnknownDocument),
    response_class=Response,
)
def get_batch_record_revision_pdf(
    code: str, number: Number, session: Reading, paper: AskPaper = "a4"
) -> Response:
    return _pdf(record.frozen(session, batch_of(session, code), number), paper)


@router.get(
    "/revisions/{number}.json",
    summary="Show the frozen bytes of a record of a batch",
    description="Exactly the canonical bytes (RFC 8785); their SHA-256 is the ETag.",
    responses=_FROZEN | problems(UnknownBatch, UnknownDocument),
    response_class=Response,
)
def get_batch_record_bytes(code: str, number: Number, session: Reading) -> Response:
    document = record.document_of(session, batch_of(session, code), number)
    headers = {"ETag": f'"{document.sha256}"', "Cache-Control": _CACHE}
    return Response(document.canonical, media_type="application/json", headers=headers)


@router.get(
    "/revisions/{number}",
    summary="Show a frozen record of a batch",
    response_model=BatchRecordOut,
    responses=_HTML | problems(UnknownBatch, UnknownDocument),
)
def get_batch_record_revision(
    code: str, number: Number, as_page: AsPage, session: Reading, response: Response
) -> BatchRecordOut | Response:
    found = record.frozen(session, batch_of(session, code), number)
    return _answer(found, as_page, response)
