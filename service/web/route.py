"""The route class: one request, one caller, one transaction, answer and effect together."""

import json
from collections.abc import Callable, Coroutine, Iterator
from datetime import UTC, datetime
from typing import Any

from fastapi import Request
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from service.errors import Fault, Invalid
from service.store import numbers
from service.store.session import Actor, WriteSession
from service.web import bodies, etags, idempotency
from service.web.house import House
from service.web.problems import UnknownParameter, refusal_of, render

Handler = Callable[[Request], Coroutine[Any, Any, Response]]
BULK = "x-bulk"  # openapi_extra mark of the routes that take long lists


class Route(APIRoute):
    """Wraps each handler; slices declare `APIRouter(route_class=Route)` and think of it no more."""

    def get_route_handler(self) -> Handler:
        inner = super().get_route_handler()

        async def handle(request: Request) -> Response:
            try:
                return await self._answer(request, inner)
            except Exception as error:
                return render(request, refusal_of(request, error))

        return handle

    async def _answer(self, request: Request, inner: Handler) -> Response:
        house: House = request.app.state.house
        self._check_parameters(request)
        dry_run = _dry_run(request)
        body = await self._body(request)
        actor: Actor = await run_in_threadpool(
            house.authorise,
            header=request.headers.get("authorization"),
            operation=self.operation_id or self.name,
            now=datetime.now(UTC),
            request_id=request.scope.get("request_id"),
            dry_run=dry_run,
        )
        if request.method == "GET":
            with house.store.reading(actor) as session:
                request.state.session = session
                response = await inner(request)
            response.headers.setdefault("Cache-Control", "private, no-cache")
            return etags.settle(request, response)
        async with house.gate.passed():
            return await _write(request, inner, actor=actor, body=body)

    def _check_parameters(self, request: Request) -> None:
        known = set(_query_names(self.dependant))
        if request.method == "POST":
            known.add("dry_run")
        unknown = [name for name in request.query_params if name not in known]
        if unknown:
            there = "Known here: " + (", ".join(sorted(known)) or "none") + "."
            faults = tuple(
                Fault(detail=there, code="unknown-parameter", parameter=name[:60])
                for name in unknown[:20]
            )
            detail = f"There is no query parameter {unknown[0][:60]!r}. {there}"
            raise UnknownParameter(detail, faults)

    async def _body(self, request: Request) -> Any:
        """Read and parse before any session or turn is taken: a slow client holds nobody up."""
        if request.method == "GET":
            return None
        bulk = (self.openapi_extra or {}).get(BULK)
        raw = await bodies.read(request, bodies.BULK if bulk else bodies.ORDINARY)
        request._body = raw
        if not raw or self.body_field is None:
            return None
        bodies.check_media_type(request.headers.get("content-type"))
        request._json = bodies.parse(raw)
        return request._json


def _query_names(dependant: Dependant) -> Iterator[str]:
    yield from (param.alias for param in dependant.query_params)
    for inner in dependant.dependencies:
        yield from _query_names(inner)


def _dry_run(request: Request) -> bool:
    asked = request.query_params.get("dry_run", "false") if request.method == "POST" else "false"
    if asked not in {"true", "false"}:
        fault = Fault(detail="Send true or false.", code="wrong-type", parameter="dry_run")
        raise Invalid("dry_run must be true or false.", (fault,))
    return asked == "true"


async def _write(request: Request, inner: Handler, *, actor: Actor, body: Any) -> Response:
    house: House = request.app.state.house
    tried = _attempt(request, actor, body)
    session = house.store.open_writing(actor)
    try:
        if tried and (held := await run_in_threadpool(idempotency.find, session, tried)):
            return held
        request.state.session = session
        response = await inner(request)
        if tried and not actor.dry_run:
            await run_in_threadpool(idempotency.keep, session, tried, response)
        # Only now, with the answer in hand: answer and effect stand or fall together.
        await run_in_threadpool(house.store.finish, session)
    finally:
        await run_in_threadpool(session.close)
    response.headers.setdefault("Cache-Control", "no-store")
    return _withheld(response, session) if actor.dry_run else response


def _attempt(request: Request, actor: Actor, body: Any) -> idempotency.Attempt | None:
    header = request.headers.get("idempotency-key")
    if header is None or request.method != "POST":
        return None
    return idempotency.attempt(
        header,
        caller=actor.key or "",
        method=request.method,
        path=request.url.path,
        body=body,
    )


def _withheld(response: Response, session: WriteSession) -> Response:
    """The answer of a dry run: marked as one, and without the numbers that were not drawn."""
    numbers_drawn = numbers.drawn(session)
    answer = _without(json.loads(bytes(response.body) or b"{}"), numbers_drawn)
    if isinstance(answer, dict):
        answer["dry_run"] = True
    text = json.dumps(answer, ensure_ascii=False)
    return Response(text, 200, headers={"Cache-Control": "no-store"}, media_type="application/json")


def _without(value: Any, drawn: frozenset[str]) -> Any:
    if isinstance(value, dict):
        return {name: _without(inner, drawn) for name, inner in value.items()}
    if isinstance(value, list):
        return [_without(inner, drawn) for inner in value]
    if isinstance(value, str):
        if value in drawn:
            return None
        for number in sorted(drawn, key=len, reverse=True):
            value = value.replace(number, "(number to come)")
    return value
