"""Lists over HTTP: the declared parameters, and a page with the address of the next."""

import inspect
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Annotated, Any, Generic, Literal, TypeVar

from fastapi import Depends, Query, Request, Response
from pydantic import BaseModel

from service.store.lists import DEFAULT_LIMIT, MOST, Ask, Listing, Page
from service.web.fields import Instant

T = TypeVar("T")


class Listed(BaseModel, Generic[T]):
    """One page of a list; follow `next` (also in the Link header) until it is null."""

    data: list[T]
    next: str | None


def asking(listing: Listing[Any]) -> Callable[..., Ask]:
    """The dependency that reads one page's parameters, declared from the listing."""

    def ask(**sent: Any) -> Ask:
        return Ask(
            place=sent["request"].url.path,
            limit=sent["limit"],
            cursor=sent["cursor"],
            sort=sent["sort"],
            q=sent.get("q"),
            archived=sent.get("archived", "no"),
            equal={n: sent[n] for n in listing.filters if sent[n] is not None},
            since=_given(sent, listing.times, "_from"),
            until=_given(sent, listing.times, "_to"),
        )

    # FastAPI reads the signature: this is where a declaration becomes OpenAPI.
    ask.__signature__ = inspect.Signature(_parameters(listing))  # type: ignore[attr-defined]
    return ask


def _given(sent: dict[str, Any], names: Sequence[str], ending: str) -> dict[str, datetime]:
    found = {name: sent[name + ending] for name in names}
    return {name: value for name, value in found.items() if value is not None}


def _parameters(listing: Listing[Any]) -> list[inspect.Parameter]:
    orders = [order for name in listing.sorts for order in (name, f"-{name}")]
    wanted: list[tuple[str, Any, Any]] = [
        ("limit", Annotated[int, Query(ge=1, le=MOST, description="Rows a page")], DEFAULT_LIMIT),
        (
            "cursor",
            Annotated[str | None, Query(max_length=1000, description="From `next`")],
            None,
        ),
        (
            "sort",
            Annotated[
                Literal[tuple(orders)], Query(description="Column; `-` in front for falling")
            ],
            listing.default_sort,
        ),
    ]
    if listing.searchable:
        text = "Words to find; case and accents make no difference"
        wanted.append(("q", Annotated[str | None, Query(max_length=100, description=text)], None))
    if listing.archivable:
        text = "Whether archived ones are shown"
        kind = Annotated[Literal["no", "yes", "all"], Query(description=text)]
        wanted.append(("archived", kind, "no"))
    for name, kind in listing.filters.items():
        text = f"Only where {name} is this"
        wanted.append((name, Annotated[kind | None, Query(description=text)], None))
    for name in listing.times:
        for ending, text in (("_from", "at or after"), ("_to", "before")):
            described = Query(description=f"{name} {text} this instant")
            wanted.append((name + ending, Annotated[Instant | None, described], None))
    wanted.append(("request", Request, inspect.Parameter.empty))
    return [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=kind)
        for name, kind, default in wanted
    ]


class Linker:
    """Turns a page of rows into the answer, with `next` and Link."""

    def __init__(self, request: Request, response: Response) -> None:
        self._request, self._response = request, response

    def __call__(self, page: Page[Any], out: Callable[[Any], T]) -> Listed[T]:
        link = None
        if page.next_cursor:
            link = str(self._request.url.include_query_params(cursor=page.next_cursor))
            self._response.headers["Link"] = f'<{link}>; rel="next"'
        return Listed(data=[out(row) for row in page.rows], next=link)


Linking = Annotated[Linker, Depends(Linker)]
