"""Rating scales and protocols over HTTP."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from service.errors import CodeTaken
from service.store.lists import Ask, page
from service.web.paging import Linking, Listed, asking
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading, Writing
from service.workshop.panels import queries
from service.workshop.panels.actions import protocols as actions
from service.workshop.panels.bodies.protocols import (
    ProtocolIn,
    ProtocolMade,
    ProtocolOut,
    ProtocolVersionIn,
    ProtocolVersionOut,
    RatingScaleIn,
    RatingScaleMade,
    RatingScaleOut,
)
from service.workshop.panels.rules import UnknownProtocol, UnknownProtocolVersion, UnknownScale

router = APIRouter(prefix="/v1", tags=["tests"], route_class=Route)


@router.get("/rating-scales", summary="List the rating scales")
def list_rating_scales(
    ask: Annotated[Ask, Depends(asking(queries.SCALES))], session: Reading, link: Linking
) -> Listed[RatingScaleOut]:
    found = page(session, queries.SCALES, ask)
    return link(found, lambda row: queries.shown_scale(session, row))


@router.post(
    "/rating-scales", status_code=201, summary="Make a rating scale", responses=problems(CodeTaken)
)
def create_rating_scale(
    wanted: RatingScaleIn, session: Writing, response: Response
) -> RatingScaleMade:
    row = actions.create_scale(session, wanted)
    response.headers["Location"] = f"/v1/rating-scales/{row.code}"
    shown = queries.shown_scale(session, row).model_dump()
    summary = f"{row.code} made: {len(wanted.values)} values, {row.best} best, {row.worst} worst."
    return RatingScaleMade(**shown, assumed={}, summary=summary)


@router.get(
    "/rating-scales/{code}", summary="Show a rating scale", responses=problems(UnknownScale)
)
def get_rating_scale(code: str, session: Reading) -> RatingScaleOut:
    return queries.shown_scale(session, queries.scale(session, code))


@router.get("/protocols", summary="List the protocols with their newest versions")
def list_protocols(
    ask: Annotated[Ask, Depends(asking(queries.PROTOCOLS))], session: Reading, link: Linking
) -> Listed[ProtocolOut]:
    found = page(session, queries.PROTOCOLS, ask)
    return link(found, lambda row: queries.shown_protocol(session, row))


@router.post(
    "/protocols",
    status_code=201,
    summary="Make a protocol with its first version",
    responses=problems(CodeTaken),
)
def create_protocol(wanted: ProtocolIn, session: Writing, response: Response) -> ProtocolMade:
    row = actions.create_protocol(session, wanted)
    response.headers["Location"] = f"/v1/protocols/{row.code}"
    return _made(queries.shown_protocol(session, row), wanted)


def _made(shown: ProtocolOut, wanted: ProtocolVersionIn) -> ProtocolMade:
    by = shown.created_by
    assumed = {"by": by} if wanted.by is None and by is not None else {}
    summary = f"{shown.code}, version {shown.version}: {len(shown.tests)} tests."
    return ProtocolMade(**shown.model_dump(), assumed=assumed, summary=summary)


@router.get(
    "/protocols/{code}",
    summary="Show a protocol with its newest version",
    responses=problems(UnknownProtocol),
)
def get_protocol(code: str, session: Reading) -> ProtocolOut:
    return queries.shown_protocol(session, queries.protocol(session, code))


@router.post(
    "/protocols/{code}/versions",
    status_code=201,
    summary="Make the next version of a protocol",
    responses=problems(UnknownProtocol),
)
def create_protocol_version(
    code: str, wanted: ProtocolVersionIn, session: Writing, response: Response
) -> ProtocolMade:
    row = actions.create_version(session, code, wanted)
    shown = queries.shown_protocol(session, row)
    response.headers["Location"] = f"/v1/protocols/{row.code}/versions/{shown.version}"
    return _made(shown, wanted)


@router.get(
    "/protocols/{code}/versions/{number}",
    summary="Show one version of a protocol",
    responses=problems(UnknownProtocol, UnknownProtocolVersion),
)
def get_protocol_version(
    code: str, number: Annotated[int, Path(ge=1, le=9999)], session: Reading
) -> ProtocolVersionOut:
    held = queries.protocol(session, code)
    return queries.shown_version(session, queries.version(session, held.code, number))
