"""Lists over HTTP: the declared parameters, and a page with the address of the next."""

import inspect
from collections.abc import Callable, Iterator, Sequence
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


def asking(listing: Listing[Any], *, paged: bool = True) -> Callable[..., Ask]:
    """The dependency that reads one page's parameters, declared from the listing; where the whole
    is had at once, only those that choose its rows."""

    def ask(**sent: Any) -> Ask:
        return Ask(
            place=sent["request"].url.path,
            limit=sent.get("limit", MOST),
            cursor=sent.get("cursor"),
            sort=sent.get("sort"),
            q=sent.get("q"),
            archived=sent.get("archived", "no"),
            equal={n: sent[n] for n in listing.filters if sent[n] is not None},
            since=_given(sent, listing.times, "_from"),
            until=_given(sent, listing.times, "_to"),
        )

    # FastAPI reads the signature: this is where a declaration becomes OpenAPI.
    ask.__signature__ = inspect.Signature(_parameters(listing, paged))  # type: ignore[attr-defined]
    return ask


def _given(sent: dict[str, Any], names: Sequence[str], ending: str) -> dict[str, datetime]:
    found = {name: sent[name + ending] for name in names}
    return {name: value for name, value in found.items() if value is not None}


def _parameters(listing: Listing[Any], paged: bool) -> list[inspect.Parameter]:
    """Of a dependency's signature: the request, and what a page can be asked by."""
    needed = inspect.Parameter("request", inspect.Parameter.KEYWORD_ONLY, annotation=Request)
    wanted = [*(_of_page(listing) if paged else ()), *_of_rows(listing)]
    return [needed] + [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=kind)
        for name, kind, default in wanted
    ]


def _of_page(listing: Listing[Any]) -> Iterator[tuple[str, Any, Any]]:
    orders = tuple(order for name in listing.sorts for order in (name, f"-{name}"))
    limit = Query(ge=1, le=MOST, description="Rows a page")
    cursor = Query(max_length=1000, description="From `next`")
    sort = Query(description="Column; `-` in front for falling")
    yield "limit", Annotated[int, limit], DEFAULT_LIMIT
    yield "cursor", Annotated[str | None, cursor], None
    yield "sort", Annotated[Literal[orders], sort], listing.default_sort


def _of_rows(listing: Listing[Any]) -> Iterator[tuple[str, Any, Any]]:
    if listing.searchable:
        words = Query(max_length=100, description="Words to find; case and accents do not matter")
        yield "q", Annotated[str | None, words], None
    if listing.archivable:
        archived = Query(description="Whether archived ones are shown")
        yield "archived", Annotated[Literal["no", "yes", "all"], archived], "no"
    for name, kind in listing.filters.items():
        yield name, Annotated[kind | None, Query(description=f"Only where {name} is this")], None
    for name in listing.times:
        for ending, text in (("_from", "at or after"), ("_to", "before")):
            described = Query(description=f"{name} {text} this instant")
            yield name + ending, Annotated[Instant | None, described], None


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
