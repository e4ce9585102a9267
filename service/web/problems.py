"""Problem documents (RFC 9457): one renderer for every way an error can leave."""

import json
from collections.abc import Mapping
from typing import Any

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from pydantic import BaseModel, Field
from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as NoConnection
from starlette.exceptions import HTTPException

from service.errors import Busy, Conflict, Fault, Invalid, NotFound, Refused
from service.web.faults import faults_of
from service.web.logs import log

MEDIA = "application/problem+json"


class MalformedJson(Refused):
    slug = "malformed-json"
    title = "The body is not the JSON it must be"
    status = 400
    about = (
        "The body could not be read as one JSON value: a syntax error, a name given twice, NaN or "
        "Infinity, text that is not UTF-8, a NUL, half a surrogate pair, a whole number beyond 64 "
        "bits, or nesting deeper than 32. Nothing was written."
    )


class WrongMediaType(Refused):
    slug = "wrong-media-type"
    title = "The body must be sent as JSON"
    status = 415
    about = (
        "Add the header `Content-Type: application/json`. A bare `curl -d` sends form encoding; "
        "`curl --json` or `-H 'Content-Type: application/json'` sends what is needed."
    )


class TooLarge(Refused):
    slug = "too-large"
    title = "The body is too large"
    status = 413
    about = (
        "JSON bodies may hold 1 MB; lists of cook points and imports 4 MB; photos and certificates "
        "15 MB; a logger's file 20 MB. `detail` says the limit of the address in bytes."
    )


class UnknownParameter(Refused):
    slug = "unknown-parameter"
    title = "There is no such query parameter"
    status = 400
    about = (
        "A query parameter is not known here, or was given twice where it counts once. `errors` "
        "lists those that are known."
    )


class MethodNotAllowed(Refused):
    slug = "method-not-allowed"
    title = "This address does not take that method"
    status = 405
    about = "The `Allow` header lists the methods that the address takes."


class NotAcceptable(Refused):
    slug = "not-acceptable"
    title = "No form of this is among those asked for"
    status = 406
    about = "Ask for application/json, text/html or */* in Accept."


class Unreadable(Refused):
    slug = "bad-request"
    title = "The request cannot be read"
    status = 400
    about = (
        "The address, a query parameter or a header is not as it must be: a NUL, half a surrogate "
        "pair, a number beyond 64 bits, or a condition without its quotes."
    )


class Crashed(Refused):
    slug = "internal"
    title = "The service failed"
    status = 500
    about = (
        "A fault in the service; nothing was written. Tell whoever runs it the `request_id`, which "
        "stands in the log beside the cause."
    )


class Unavailable(Refused):
    slug = "storage"
    title = "The database cannot be used just now"
    status = 503
    about = "Nothing was written. Send the same request again after the seconds in Retry-After."


class Stopping(Busy):
    slug = "stopping"
    title = "The service is being stopped"
    about = (
        "The service was stopped before the answer was ready. Whether the request was carried out "
        "is not known: look, or send it again under the same Idempotency-Key."
    )


class Problem(BaseModel):
    """The schema of every refusal, for OpenAPI."""

    type: str = Field(description="Path of the page that explains this kind of problem.")
    title: str
    status: int
    detail: str
    instance: str
    request_id: str
    errors: list[dict[str, Any]] | None = Field(
        default=None,
        description="Each: detail, code, pointer (into the body) or parameter, hint, remedies "
        "(if, send, then; `send` is a JSON merge patch on the body sent).",
    )


def render(request: Request, refusal: Refused) -> Response:
    """The problem document of a refusal."""
    body: dict[str, Any] = {
        "type": f"/problems/{refusal.slug}",
        "title": refusal.title,
        "status": refusal.status,
        "detail": refusal.detail,
        "instance": request.url.path,
        "request_id": request.scope.get("request_id", ""),
    }
    if refusal.faults:
        body["errors"] = [fault.as_json() for fault in refusal.faults]
    body.update({name: value for name, value in refusal.more.items() if name not in body})
    headers: Mapping[str, str] = {"Cache-Control": "no-store", **refusal.headers}
    text = json.dumps(body, ensure_ascii=True, default=str)
    return Response(text, refusal.status, headers=dict(headers), media_type=MEDIA)


def _of_validation(error: RequestValidationError) -> Refused:
    faults = faults_of(error.errors(), error.body)
    first = faults[0]
    place = first.pointer or first.parameter or "the request"
    more = f" {len(faults) - 1} more in `errors`." if len(faults) > 1 else ""
    return Invalid(f"{place}: {first.detail}{more}", faults)


def _of_http(request: Request, error: HTTPException) -> Refused:
    if error.status_code == 404:
        return NotFound(f"Nothing stands at {request.url.path}.")
    if error.status_code == 405:
        allow = _allowed(request)
        detail = f"{request.method} is not taken here; {allow} is."
        return MethodNotAllowed(detail, headers={"Allow": allow})
    return Unreadable(str(error.detail))


def _allowed(request: Request) -> str:
    return ", ".join(request.app.state.house.methods_of(request.scope["path"]))


def of_database(error: DBAPIError) -> Refused:
    """A database that is busy, full or gone is a 503; anything else is our fault."""
    text = str(error.orig).lower()
    if any(word in text for word in ("locked", "busy", "lock timeout", "deadlock")):
        return Busy("Another process is writing.", headers={"Retry-After": "2"})
    if isinstance(error, OperationalError):
        log("storage", error=text)
        return Unavailable("The database cannot be used.", headers={"Retry-After": "30"})
    return Crashed("An unexpected fault in the service.")


def refusal_of(request: Request, error: Exception) -> Refused:
    """Every exception as a refusal; a crash is logged with its request id."""
    if isinstance(error, Refused):
        return error
    if isinstance(error, RequestValidationError):
        return _of_validation(error)
    if isinstance(error, HTTPException):
        return _of_http(request, error)
    if isinstance(error, NoConnection):
        return Busy("No connection to the database came free.", headers={"Retry-After": "2"})
    refusal = of_database(error) if isinstance(error, DBAPIError) else None
    if refusal is None or isinstance(refusal, Crashed):
        log("crash", exception=error, request_id=request.scope.get("request_id"))
        return Crashed("An unexpected fault in the service.")
    return refusal


async def handle(request: Request, error: Exception) -> Response:
    """The exception handler of the app. OPTIONS is a method of every address, of no route."""
    if request.method == "OPTIONS" and getattr(error, "status_code", None) == 405:
        return Response(status_code=204, headers={"Allow": _allowed(request)})
    return render(request, refusal_of(request, error))


def problems(*kinds: type[Refused]) -> dict[int | str, dict[str, Any]]:
    """The `responses=` of a route: which refusals of its own it may answer."""
    found: dict[int | str, dict[str, Any]] = {}
    for kind in kinds:
        held = found.setdefault(kind.status, {"description": "", "x-problems": []})
        held["x-problems"].append(kind.slug)
        held["description"] = "; ".join([held["description"], kind.title]).strip("; ")
    return found


__all__ = ["Conflict", "Fault", "MalformedJson", "Problem", "handle", "problems", "render"]
