"""The route class: one request, one caller, one transaction, answer and effect together."""

import asyncio
import json
from collections.abc import Callable, Coroutine, Sequence
from datetime import UTC, datetime
from typing import Any, ClassVar

from fastapi import Request
from fastapi.routing import APIRoute
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from service.store import numbers
from service.store.session import Actor, WriteSession
from service.web import bodies, etags, idempotency, parameters
from service.web.house import House
from service.web.problems import refusal_of, render

Handler = Callable[[Request], Coroutine[Any, Any, Response]]
BULK = "x-bulk"  # openapi_extra mark of the routes that take long lists
ONCE = "x-shown-once"  # the same, naming members of the answer that are never kept


class Route(APIRoute):
    """Wraps each handler; slices declare `APIRouter(route_class=Route)` and think of it no more."""

    # The row of the scope matrix that guards the route; None: its own operation id.
    guarded_as: ClassVar[str | None] = None
    # Whether any query parameter is let through, for routes that refuse whatever was asked.
    any_query: ClassVar[bool] = False

    def __init__(self, path: str, endpoint: Callable[..., Any], **more: Any) -> None:
        # The function's name is the operation's id; the scopes are listed by it.
        more["operation_id"] = more.get("operation_id") or endpoint.__name__
        super().__init__(path, endpoint, **more)

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
        actor = await self._enter(request)
        if request.method == "GET":
            async with house.readers.passed():
                with house.store.reading(actor) as session:
                    request.state.session = session
                    response = await inner(request)
            response.headers.setdefault("Cache-Control", "private, no-cache")
            return etags.settle(request, response)
        body = await self._body(request)
        tried = None if actor.dry_run else _attempt(request, actor, body)
        async with house.gate.passed():
            # Shielded: a server that stops must not close the session under a running handler.
            return await asyncio.shield(self._write(request, inner, actor=actor, tried=tried))

    async def _enter(self, request: Request) -> Actor:
        """Check the address and find out who is asking."""
        house: House = request.app.state.house
        if not self.any_query:
            parameters.check(request, self.dependant)
        dry_run = parameters.dry_run(request)
        actor: Actor = await run_in_threadpool(
            house.authorise,
            header=request.headers.get("authorization"),
            operation=self.guarded_as or self.operation_id or self.name,
            now=datetime.now(UTC),
            request_id=request.scope.get("request_id"),
            dry_run=dry_run,
        )
        return actor

    async def _body(self, request: Request) -> Any:
        """Read and parse before any session or turn is taken: a slow client holds nobody up."""
        bulk = (self.openapi_extra or {}).get(BULK)
        raw = await bodies.read(request, bodies.BULK if bulk else bodies.ORDINARY)
        request._body = raw
        if not raw or self.body_field is None:
            return None
        bodies.check_media_type(request.headers.get("content-type"))
        request._json = bodies.parse(raw)
        return request._json

    async def _write(
        self,
        request: Request,
        inner: Handler,
        *,
        actor: Actor,
        tried: idempotency.Attempt | None,
    ) -> Response:
        house: House = request.app.state.house
        once = frozenset((self.openapi_extra or {}).get(ONCE, ()))
        session = house.store.open_writing(actor)
        try:
            if tried and (held := await run_in_threadpool(idempotency.find, session, tried)):
                return held
            request.state.session = session
            response = await inner(request)
            if tried:
                await run_in_threadpool(idempotency.keep, session, tried, response, once=once)
            # Only now, with the answer in hand: answer and effect stand or fall together.
            await run_in_threadpool(house.store.finish, session)
        finally:
            await run_in_threadpool(session.close)
        response.headers.setdefault("Cache-Control", "no-store")
        if request.method in parameters.TRIED:
            return _withheld(response, session) if actor.dry_run else response
        return etags.marked(response)


def _attempt(request: Request, actor: Actor, body: Any) -> idempotency.Attempt | None:
    header = request.headers.get("idempotency-key")
    if header is None or request.method not in parameters.TRIED:
        return None
    return idempotency.attempt(
        header,
        caller=actor.key or "",
        method=request.method,
        path=request.scope["path"],
        body=[body, sorted(request.query_params.multi_items())],
    )


def _withheld(response: Response, session: WriteSession) -> Response:
    """The answer of a dry run: marked as one, and without the numbers that were not drawn."""
    numbers_drawn = sorted(numbers.drawn(session), key=len, reverse=True)
    answer = _without(json.loads(bytes(response.body) or b"{}"), numbers_drawn)
    if isinstance(answer, dict):
        answer["dry_run"] = True
    text = json.dumps(answer, ensure_ascii=False)
    return Response(text, 200, headers={"Cache-Control": "no-store"}, media_type="application/json")


def _without(value: Any, drawn: Sequence[str]) -> Any:
    """An answer without the numbers that a dry run drew, of which the longest come first."""
    if isinstance(value, dict):
        return {name: _without(inner, drawn) for name, inner in value.items()}
    if isinstance(value, list):
        return [_without(inner, drawn) for inner in value]
    if isinstance(value, str):
        if value in drawn:
            return None
        for number in drawn:
            value = value.replace(number, "(number to come)")
    return value
