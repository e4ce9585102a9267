"""Entity tags and their conditions (RFC 9110, section 13; RFC 6585 for 428)."""

import hashlib
import re
from typing import Annotated

from fastapi import Depends, Header, Request
from starlette.responses import Response

from service.errors import Refused
from service.store.columns import Named
from service.web.problems import Unreadable

_REVISION = re.compile(r'"([^"]+\.\d+)"')
_TAGS = re.compile(r'\s*(\*|(W/)?"[^"]*"(\s*,\s*(W/)?"[^"]*")*)\s*')


class PreconditionNeeded(Refused):
    slug = "if-match-needed"
    title = "Say which state you are changing"
    status = 428
    about = (
        "Changing a named thing needs If-Match with the ETag of the state that was read, so that "
        "two people cannot overwrite each other unseen. `If-Match: *` changes whatever is there."
    )


class Stale(Refused):
    slug = "stale"
    title = "It was changed since you read it"
    status = 412
    about = "Read it again, look at what changed, and send the change with the new ETag."


def etag_of(row: Named) -> str:
    """The tag of a named thing's state: what If-Match guards.

    An answer's own tag goes on with a digest of its body (`marked`): it may show more than the
    row, such as figures or a balance, and a cache must see that change too.
    """
    return f'"{row.code}.{row.revision}"'


class Condition:
    """The If-Match of a request."""

    def __init__(self, sent: str | None) -> None:
        self.sent = sent

    def meets(self, row: Named) -> None:
        """Raises PreconditionNeeded (no If-Match), Stale (another state), Unreadable."""
        self.meets_tag(etag_of(row))

    def meets_tag(self, current: str) -> None:
        more = {"etag": current}
        if self.sent is None:
            detail = f"Send the header If-Match: {current}"
            raise PreconditionNeeded(detail, more=more, headers={"ETag": current})
        if _TAGS.fullmatch(self.sent) is None:
            raise Unreadable(f"If-Match takes tags in their quotes, such as {current}, or *.")
        tags = [tag.strip() for tag in self.sent.split(",")]
        if tags != ["*"] and not any(_is_state(tag, current) for tag in tags):
            detail = f"If-Match is {self.sent[:80]}, the present state is {current}."
            raise Stale(detail, more=more, headers={"ETag": current})


def _is_state(tag: str, current: str) -> bool:
    # Strong comparison: a weak tag is never the present state.
    return tag == current or (tag.startswith(current[:-1] + ".") and tag.endswith('"'))


def _condition(
    if_match: Annotated[
        str | None,
        Header(
            alias="If-Match", max_length=400, description="ETag of the state that is changed, or *"
        ),
    ] = None,
) -> Condition:
    return Condition(if_match)


IfMatch = Annotated[Condition, Depends(_condition)]


def marked(response: Response) -> Response:
    """Have the tag of a state go on with a digest of the answer's body."""
    found = _REVISION.fullmatch(response.headers.get("etag", ""))
    if found and hasattr(response, "body"):
        response.headers["ETag"] = f'"{found[1]}.{_digest(response)[:12]}"'
    return response


def _digest(response: Response) -> str:
    return hashlib.sha256(bytes(response.body)).hexdigest()


def settle(request: Request, response: Response) -> Response:
    """Give a GET answer its ETag and answer 304 where the client already holds it."""
    if response.status_code != 200 or not hasattr(response, "body"):
        return response
    if "etag" not in response.headers:
        response.headers["ETag"] = f'W/"{_digest(response)[:24]}"'
    tag = marked(response).headers["ETag"].removeprefix("W/")
    sent = request.headers.get("if-none-match", "")
    known = [held.strip().removeprefix("W/") for held in sent.split(",")]
    if sent.strip() != "*" and tag not in known:
        return response
    kept = {
        name: value
        for name, value in response.headers.items()
        if name not in {"content-length", "content-type"}
    }
    return Response(status_code=304, headers=kept)
