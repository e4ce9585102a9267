"""Reading a body: bounded; as JSON, strict where the standard library is lenient."""

import json
from collections import Counter
from decimal import Decimal
from typing import Any

from starlette.requests import ClientDisconnect, Request

from service.web.problems import MalformedJson, TooLarge, WrongMediaType

ORDINARY, BULK = 1_000_000, 4_000_000
DEEPEST = 32


async def read(request: Request, limit: int) -> bytes:
    """The body, refused as soon as it exceeds the limit."""
    stated = request.headers.get("content-length", "0").strip()
    if stated.isdecimal() and (len(stated) > 18 or int(stated) > limit):
        raise _too_large(limit)
    held = bytearray()
    try:
        async for chunk in request.stream():
            held += chunk
            if len(held) > limit:
                raise _too_large(limit)
    except ClientDisconnect:
        raise MalformedJson("The connection ended before the body did.") from None
    return bytes(held)


def _too_large(limit: int) -> TooLarge:
    return TooLarge(f"The body may hold {limit:,} bytes here.")


def kind_of(content_type: str | None) -> str:
    """The media type that a Content-Type declares, without its parameters; empty for none."""
    return (content_type or "").split(";")[0].strip().lower()


def check_media_type(content_type: str | None) -> None:
    """Raises WrongMediaType unless the body is declared as JSON or a JSON merge patch."""
    kind = kind_of(content_type)
    if kind not in {"application/json", "application/merge-patch+json"}:
        sent = f"{kind} was sent" if kind else "no Content-Type was sent"
        raise WrongMediaType(f"Add the header 'Content-Type: application/json'; {sent}.")


def parse(body: bytes) -> Any:
    """One JSON value. Fractions become exact decimals.

    Raises MalformedJson for what RFC 8259 or I-JSON (RFC 7493) exclude: broken UTF-8, lone
    surrogates, NaN and Infinity, a name given twice; also for a NUL, for depth over 32 and for
    whole numbers beyond 64 bits.
    """
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        raise MalformedJson(f"The body is not UTF-8 (byte {error.start}).") from None
    try:
        value = json.loads(
            text,
            object_pairs_hook=_object,
            parse_constant=_constant,
            parse_float=Decimal,
            parse_int=_integer,
        )
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise MalformedJson(f"The JSON breaks at {place}: {error.msg}.") from None
    except RecursionError:
        raise MalformedJson(f"The JSON nests deeper than {DEEPEST}.") from None
    except ArithmeticError:
        raise MalformedJson("The JSON holds a number of too many digits.") from None
    _walk(value)
    return value


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        twice = Counter(name for name, _ in pairs).most_common(1)[0][0]
        raise MalformedJson(f"The name {twice[:60]!r} is given twice in one object.")
    return found


def _integer(text: str) -> int:
    if len(text) > 20 or abs(int(text)) >= 2**63:
        raise MalformedJson("The JSON holds a number of too many digits.")
    return int(text)


def _constant(name: str) -> Any:
    raise MalformedJson(f"{name} is not a JSON number.")


def _walk(value: Any) -> None:
    layer, depth = [value], 0
    while layer:
        depth += 1
        if depth > DEEPEST:
            raise MalformedJson(f"The JSON nests deeper than {DEEPEST}.")
        layer = [inner for outer in layer for inner in _inside(outer)]


def _inside(value: Any) -> list[Any]:
    if isinstance(value, str):
        _check_text(value)
    if isinstance(value, dict):
        for name in value:
            _check_text(name)
        return list(value.values())
    return value if isinstance(value, list) else []


def _check_text(text: str) -> None:
    if flaw := flaw_of(text):
        raise MalformedJson(f"A text holds {flaw}.")


def flaw_of(text: str) -> str | None:
    """What no database takes in a text, or None."""
    if "\x00" in text:
        return "a NUL character"
    try:
        text.encode()
    except UnicodeEncodeError:
        return "half of a surrogate pair"
    return None
