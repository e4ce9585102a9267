"""The HTTP face of the sums: a list, and for each calculation a body or a query string.

The handlers are made at start from the catalogue, a pair each, so that every calculation is an
operation of its own with typed inputs in the OpenAPI document.
"""

from collections.abc import Callable
from inspect import Parameter, Signature
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Response
from fastapi.responses import PlainTextResponse

from service.calculations import query_strings
from service.calculations.answers import answer, bare
from service.calculations.bodies import CalculationOut, CalculationsOut
from service.calculations.catalogue import Calculation, calculations
from service.calculations.rules import (
    NoSingleFigure,
    NoSuchFigure,
    at_fault,
    no_single_figure,
    unknown_calculation,
    unknown_figure,
)
from service.calculations.shown import shown_all
from service.science.errors import ScienceError
from service.web.fields import In
from service.web.problems import problems
from service.web.recordless import RecordlessRoute
from service.web.shares import TooMany

router = APIRouter(route_class=RecordlessRoute, tags=["calculations"], responses=problems(TooMany))
_Form = Annotated[
    Literal["document", "value"] | None,
    Query(alias="as", description="value: the bare answer as text/plain, for one cell."),
]
_Figure = Annotated[
    str | None,
    Query(max_length=60, description="With as=value: another figure of the answer by its name."),
]
_FORM = Parameter("form", Parameter.KEYWORD_ONLY, annotation=_Form, default=None)
_FIGURE = Parameter("figure", Parameter.KEYWORD_ONLY, annotation=_Figure, default=None)
_CELL: dict[int | str, dict[str, Any]] = {
    200: {"content": {"text/plain": {"schema": {"type": "string"}}}, "description": "The answer"}
}


@router.get("/v1/calculations", summary="List the calculations with their inputs and sources")
async def list_calculations() -> CalculationsOut:
    return CalculationsOut(data=shown_all())


def _by_body(one: Calculation) -> Callable[..., Any]:
    async def calculate(asked: In) -> CalculationOut:
        try:
            return answer(one, asked)
        except ScienceError as error:
            raise at_fault(error, query=False) from None

    body = Parameter("asked", Parameter.POSITIONAL_OR_KEYWORD, annotation=one.body)
    # FastAPI reads the parameters off the signature; the type checker knows no such attribute.
    calculate.__signature__ = Signature([body])  # type: ignore[attr-defined]
    return calculate


def _by_query(one: Calculation) -> Callable[..., Any]:
    async def query(form: str | None, figure: str | None, **given: Any) -> Any:
        sent = {name: value for name, value in given.items() if value is not None}
        try:
            found = answer(one, query_strings.read(one, sent))
        except ScienceError as error:
            raise at_fault(error, query=True) from None
        if figure is not None and figure not in found.figures:
            raise unknown_figure(figure, found.figures)
        if form != "value":
            return found
        cell = bare(found.figures[figure] if figure else found)
        if cell is None:
            raise no_single_figure(figure or next(iter(found.figures)), found.figures)
        return PlainTextResponse(cell)

    inputs = [query_strings.parameter(each) for each in one.inputs]
    # As above: the parameters that FastAPI documents and reads.
    query.__signature__ = Signature([*inputs, _FORM, _FIGURE])  # type: ignore[attr-defined]
    return query


def _mount(one: Calculation, method: str, verb: str, handler: Callable[..., Any]) -> None:
    router.add_api_route(
        one.path,
        handler,
        methods=[method],
        operation_id=f"{verb}_{one.identifier}",
        name=f"{verb}_{one.identifier}",
        summary=one.purpose,
        description=one.words.purpose,
        response_model=CalculationOut,
        responses={**problems(NoSuchFigure, NoSingleFigure), **_CELL} if method == "GET" else {},
    )


for _one in calculations():
    _mount(_one, "POST", "calculate", _by_body(_one))
    _mount(_one, "GET", "query", _by_query(_one))


class _AnyQuery(RecordlessRoute):
    any_query = True


_rest = APIRouter(route_class=_AnyQuery, include_in_schema=False)


@_rest.api_route("/v1/calculations/{name}", methods=["GET", "POST"])
async def no_calculation(name: str) -> Response:
    """Anything else under this address, answered with the names that are nearest."""
    raise unknown_calculation(name, [one.name for one in calculations()])


router.routes.extend(_rest.routes)
