"""The attachments desk over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request, Response
from pydantic import BeforeValidator

from service.office.attachments import actions, queries
from service.office.attachments.bodies import AttachmentMade, AttachmentOut
from service.office.attachments.rules import (
    CERTIFICATE,
    DIGEST_PATTERN,
    MEDIA_TYPES,
    MOST_BYTES,
    BrokenFile,
    DigestMismatch,
    NoThumbnail,
    Opened,
    TooManyPixels,
    UnknownAttachment,
    address_of,
    name_of,
    tidy,
)
from service.store.lists import Ask, page
from service.web.files import FileRoute, WrongFileKind, file_answer, giving, taking
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.sessions import Reading, Writing


class AttachmentRoute(FileRoute):
    """Opens the file that was sent before the route asks for a turn."""

    @classmethod
    def opened(cls, request: Request, media_type: str, body: bytes) -> Opened:
        return actions.open_file(request.path_params["digest"], media_type, body)


def _opened(request: Request) -> Opened:
    opened: Opened = request.state.opened
    return opened


Digest = Annotated[
    str,
    Path(pattern=DIGEST_PATTERN, description="SHA-256 of the file as it is sent"),
    BeforeValidator(tidy),
]
Sent = Annotated[Opened, Depends(_opened)]
_ONE = "/sha256:{digest}"

router = APIRouter(prefix="/v1/attachments", tags=["attachments"], route_class=AttachmentRoute)


@router.get("", summary="List the photos and certificates, newest first")
def list_attachments(
    ask: Annotated[Ask, Depends(asking(queries.LISTING))], session: Reading, link: Linking
) -> Listed[AttachmentOut]:
    return link(page(session, queries.LISTING, ask), queries.shown)


@router.put(
    _ONE,
    status_code=201,
    summary="Send a photo or a certificate under its own digest",
    description="Before or after the record that names it, once, twice or never: the same again is "
    f"answered 200 and writes nothing. At most {MOST_BYTES // 10**6} MB; a photo at most 50 "
    "megapixels. A photo is turned upright and kept as JPEG of at most 2,000 pixels, without the "
    "place, time and names that the camera wrote into it; a certificate is kept as it is. Neither "
    "is public by being sent.",
    responses=problems(WrongFileKind, DigestMismatch, BrokenFile, TooManyPixels)
    | {200: {"model": AttachmentMade, "description": "It was here already."}},
    openapi_extra=taking(MEDIA_TYPES, MOST_BYTES),
)
def put_attachment(
    digest: Digest, opened: Sent, session: Writing, response: Response
) -> AttachmentMade:
    row, new = actions.keep(session, opened)
    shown = queries.shown(row)
    if new:
        response.headers["Location"] = address_of(name_of(digest))
    else:
        response.status_code = 200
    assumed = {"by": row.by} if new and row.by else {}
    return AttachmentMade(
        **shown.model_dump(), assumed=assumed, summary=queries.summary(row, new=new)
    )


@router.get(
    _ONE, summary="Show what is known of an attachment", responses=problems(UnknownAttachment)
)
def get_attachment(digest: Digest, session: Reading) -> AttachmentOut:
    return queries.shown(queries.attachment(session, digest))


@router.get(
    f"{_ONE}/content",
    summary="The photo as it is kept, or the certificate as it was sent",
    responses=giving("image/jpeg", CERTIFICATE) | problems(UnknownAttachment),
    response_class=Response,
)
def get_attachment_content(digest: Digest, session: Reading) -> Response:
    row = queries.attachment(session, digest)
    body = queries.content(session, row)
    if row.kind == "certificate":
        name = f"{row.digest[:12]}.pdf"
        return file_answer(body, media_type=CERTIFICATE, tag=row.digest, name=name, inline=False)
    name = f"{row.digest[:12]}.jpg"
    return file_answer(body, media_type="image/jpeg", tag=row.digest, name=name, inline=True)


@router.get(
    f"{_ONE}/thumbnail",
    summary="The photo with 400 pixels of its longer edge",
    responses=giving("image/jpeg") | problems(UnknownAttachment, NoThumbnail),
    response_class=Response,
)
def get_attachment_thumbnail(digest: Digest, session: Reading) -> Response:
    row = queries.attachment(session, digest)
    body = queries.thumbnail(session, row)
    tag, name = f"{row.digest}.thumbnail", f"{row.digest[:12]}-small.jpg"
    return file_answer(body, media_type="image/jpeg", tag=tag, name=name, inline=True)
