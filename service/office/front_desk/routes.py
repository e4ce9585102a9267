"""The front desk over HTTP; open to everyone."""

from typing import Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response

from service.office.front_desk import queries
from service.office.front_desk.api_page import api_page
from service.office.front_desk.bodies import Health, ProblemKind, ProblemKinds, Welcome
from service.office.front_desk.rules import UnknownProblem, problem_named
from service.web.negotiation import page, prefers_html
from service.web.problems import problems
from service.web.route import Route
from service.web.sessions import Reading

router = APIRouter(tags=["front desk"], route_class=Route)


def _open(response: Response) -> None:
    """Anyone may keep the JSON form as long as the page; which one it is depends on Accept."""
    response.headers.update({"Cache-Control": "public, max-age=60", "Vary": "Accept"})


def _fresh(response: Response) -> None:
    """How it was a while ago says nothing about health."""
    response.headers["Cache-Control"] = "no-store"


_OPEN, _FRESH = [Depends(_open)], [Depends(_fresh)]
_HTML: dict[int | str, dict[str, Any]] = {
    200: {"content": {"text/html": {"schema": {"type": "string"}}}}
}


@router.get(
    "/",
    summary="What runs here",
    response_model=Welcome,
    responses=_HTML,
    dependencies=_OPEN,
)
def get_root(request: Request) -> Any:
    return page(queries.welcome_page()) if prefers_html(request) else queries.welcome()


@router.get(
    "/problems",
    summary="Kinds of problem",
    response_model=ProblemKinds,
    responses=_HTML,
    dependencies=_OPEN,
)
def list_problems(request: Request) -> Any:
    if prefers_html(request):
        return page(queries.problems_page())
    return ProblemKinds(data=queries.problem_kinds())


@router.get(
    "/problems/{slug}",
    summary="What a problem means",
    response_model=ProblemKind,
    responses=_HTML | problems(UnknownProblem),
    dependencies=_OPEN,
)
def get_problem(slug: str, request: Request) -> Any:
    kind = problem_named(slug)
    return page(queries.problem_page(kind)) if prefers_html(request) else queries.problem_kind(kind)


@router.get("/health/live", summary="Whether the process answers", dependencies=_FRESH)
def get_live() -> Health:
    return Health(status="ok")


@router.get("/health/ready", summary="Whether the database answers", dependencies=_FRESH)
def get_ready(session: Reading) -> Health:
    queries.ready(session)
    return Health(status="ok")


@router.get("/openapi.json", summary="The OpenAPI document", include_in_schema=False)
def get_openapi(request: Request) -> Response:
    headers = {"Cache-Control": "public, max-age=60"}
    return JSONResponse(request.app.openapi(), headers=headers)


@router.get("/docs", summary="The API page", include_in_schema=False)
def get_docs(request: Request) -> HTMLResponse:
    return page(api_page(request.app.openapi()))
