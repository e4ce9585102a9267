"""Routes that touch no record: no session, no write gate; a caller's share is bounded instead."""

from collections.abc import Callable, Coroutine
from typing import Any, ClassVar

from fastapi import Request
from starlette.responses import Response

from service.web import etags
from service.web.openapi import RECORDLESS
from service.web.route import Route

Handler = Callable[[Request], Coroutine[Any, Any, Response]]


class RecordlessRoute(Route):
    """For handlers that only reckon. They are `async def` and must not wait for anything."""

    guarded_as: ClassVar[str | None] = "calculate"

    def __init__(self, path: str, endpoint: Callable[..., Any], **more: Any) -> None:
        more["openapi_extra"] = {**(more.get("openapi_extra") or {}), RECORDLESS: True}
        super().__init__(path, endpoint, **more)

    async def _answer(self, request: Request, inner: Handler) -> Response:
        house = request.app.state.house
        actor = await self._enter(request)
        share = house.shares.take(actor.key or (request.client.host if request.client else ""))
        if request.method == "POST":
            await self._body(request)
        response = await inner(request)
        response.headers.update(share.headers())
        response.headers.setdefault("Cache-Control", "private, no-cache")
        return etags.settle(request, response) if request.method == "GET" else response
