"""Routes whose body is a file: its bytes as they are, of a few declared kinds, opened first."""

import hashlib
from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import Any

from fastapi import Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from service.errors import Refused
from service.web import bodies
from service.web.openapi import MOST_BYTES
from service.web.route import Route

# What stands under a digest never changes; only whoever has a key may keep it.
_FOREVER = "private, max-age=31536000, immutable"
_BYTES = {"type": "string", "format": "binary"}


class WrongFileKind(Refused):
    slug = "wrong-file-kind"
    title = "A file of this kind is not taken here"
    status = 415
    about = (
        "The Content-Type says what the file is; `takes` lists the kinds that the address takes. "
        "The file is sent as it is, not as a form: `curl -T photo.jpg -H 'Content-Type: …'`."
    )


class FileRoute(Route, ABC):
    """For desks that take files. What is opened is found in `request.state.opened`."""

    @classmethod
    @abstractmethod
    def opened(cls, request: Request, media_type: str, body: bytes) -> Any:
        """The file as the desk takes it, in a thread, with no session and no turn held."""

    async def _body(self, request: Request) -> Any:
        """Refused by its kind before it is read, and opened before any turn is taken."""
        declared = self.openapi_extra or {}
        takes = tuple(declared["requestBody"]["content"])
        kind = bodies.kind_of(request.headers.get("content-type"))
        if kind not in takes:
            wrong = f"{kind or 'no Content-Type'} was sent; {', '.join(takes)} are taken."
            raise WrongFileKind(wrong, more={"takes": list(takes)})
        raw = await bodies.read(request, declared[MOST_BYTES])
        async with request.app.state.house.openers.passed():
            request.state.opened = await run_in_threadpool(self.opened, request, kind, raw)
        return [kind, await run_in_threadpool(_sha256, raw)]


def _sha256(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()


def taking(kinds: Sequence[str], most: int) -> dict[str, Any]:
    """The `openapi_extra` of a route that takes a file: what it says there, the route holds to."""
    content = {kind: {"schema": _BYTES} for kind in kinds}
    return {"requestBody": {"required": True, "content": content}, MOST_BYTES: most}


def giving(*kinds: str) -> dict[int | str, dict[str, Any]]:
    """The `responses=` of a route that answers with a file."""
    return {200: {"content": {kind: {"schema": _BYTES} for kind in kinds}}}


def file_answer(body: bytes, *, media_type: str, tag: str, name: str, inline: bool) -> Response:
    """A file that stands under a digest: kept for ever, shown in a page only where `inline`."""
    headers = {
        "ETag": f'"{tag}"',
        "Cache-Control": _FOREVER,
        "Content-Disposition": f'{"inline" if inline else "attachment"}; filename="{name}"',
    }
    return Response(body, media_type=media_type, headers=headers)
