"""The outermost layer, plain ASGI: request id, HEAD, trailing slashes, CORS, security headers.

Plain ASGI because each `BaseHTTPMiddleware` costs several bare requests; outermost so that also a
crash leaves with its headers.
"""

import asyncio
import re
import secrets
from typing import Any

from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.web.problems import Stopping, refusal_of, render

_ID = re.compile(r"[A-Za-z0-9_.-]{8,64}")
PUBLIC = ("/l", "/p", "/problems", "/openapi.json", "/health")
_CORS = {
    "access-control-allow-origin": "*",
    "access-control-expose-headers": "ETag, Link, Retry-After, X-Request-Id, Content-Location",
}
_PREFLIGHT = {
    "access-control-allow-methods": "GET, HEAD, OPTIONS",
    "access-control-allow-headers": "If-None-Match, Accept, Accept-Language",
    "access-control-max-age": "86400",
}
_SAFE = {
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "x-frame-options": "DENY",
    "content-security-policy": "default-src 'none'; frame-ancestors 'none'",
}


class Edge:
    """Wraps the whole app."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        # A copy: the server answers HEAD by its own scope, where the method must stay what it was.
        scope = {**scope, "request_id": _request_id(scope)}
        path = scope["path"]
        if len(path) > 1 and path.endswith("/"):
            # Both spellings are served; a redirect would lose headers and bodies on the way.
            path = scope["path"] = path.rstrip("/") or "/"
        public = _is_public(path)
        answer = _Answer(send, scope, public=public)
        if scope["method"] == "OPTIONS" and public:
            await answer.preflight()
            return
        if scope["method"] == "HEAD":
            scope["method"] = "GET"
            answer.bodiless = True
        try:
            await self.app(scope, receive, answer)
        except (Exception, asyncio.CancelledError) as error:
            if answer.begun:
                raise
            if isinstance(error, asyncio.CancelledError):
                # Only a server that stops cancels; whoever waits for an answer still gets one.
                error = Stopping("The service is being stopped.", headers={"Retry-After": "5"})
            request = Request(scope)
            refused = render(request, refusal_of(request, error))
            await refused(scope, receive, answer)


def _is_public(path: str) -> bool:
    low = path.lower()
    return any(low == root or low.startswith((root + "/", root + ".")) for root in PUBLIC)


def _request_id(scope: Scope) -> str:
    for name, value in scope["headers"]:
        if name == b"x-request-id":
            sent = value.decode("latin-1")
            return sent if _ID.fullmatch(sent) else secrets.token_hex(8)
    return secrets.token_hex(8)


class _Answer:
    """A `send` that adds the common headers and swallows the body of HEAD."""

    def __init__(self, send: Send, scope: Scope, *, public: bool) -> None:
        self._send, self._scope, self._public = send, scope, public
        self.bodiless = self.begun = False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.begun = True
            headers = MutableHeaders(scope=message)
            headers["X-Request-Id"] = self._scope["request_id"]
            for name, value in {**_SAFE, **(_CORS if self._public else {})}.items():
                headers.setdefault(name, value)
        elif self.bodiless and message["type"] == "http.response.body":
            message = {**message, "body": b""}
        await self._send(message)

    async def preflight(self) -> None:
        pairs: list[tuple[bytes, bytes]] = [
            (name.encode(), value.encode()) for name, value in _PREFLIGHT.items()
        ]
        pairs += [(b"allow", b"GET, HEAD, OPTIONS"), (b"content-length", b"0")]
        start: dict[str, Any] = {"type": "http.response.start", "status": 204, "headers": pairs}
        await self(start)
        await self({"type": "http.response.body", "body": b""})
