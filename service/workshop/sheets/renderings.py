"""The forms of a frozen sheet under a status: the same two give the same bytes."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from service.press import csv, html
from service.press.blocks import Link
from service.workshop.sheets.document import LotSheet
from service.workshop.sheets.pages import sheet_document
from service.workshop.sheets.rules import ADDRESS, Status, absolute

Content = Mapping[str, Any]
_ORDER = tuple(field.name for field in fields(LotSheet))


@dataclass(frozen=True, slots=True)
class Kind:
    """A form, its media type, and how it is made."""

    name: str
    media: str
    make: Callable[[Content, Status], bytes]


def with_status(content: Content, status: Status, address: str = ADDRESS) -> dict[str, Any]:
    """The sheet as the public reads it: the status behind its address, links absolute."""
    found: dict[str, Any] = {}
    for name, value in in_order(content).items():
        found[name] = value
        if name == "url":
            found["status"] = status.as_json()
    whole: dict[str, Any] = absolute(found, address)
    return whole


def _json(content: Content, status: Status) -> bytes:
    return json.dumps(with_status(content, status), ensure_ascii=False).encode()


def in_order(content: Content) -> dict[str, Any]:
    """Canonical bytes sort the names; people read them in the order of the sheet."""
    return {name: content[name] for name in _ORDER if name in content}


def _html(content: Content, status: Status) -> bytes:
    return html.render(sheet_document(content, status))


def _csv(content: Content, status: Status) -> bytes:
    """A file is read far from its host, so its links are absolute too."""
    document = sheet_document(content, status)
    links = tuple(Link(link.text, ADDRESS + link.href) for link in document.links)
    return csv.render(replace(document, links=links))


KINDS = {
    kind.name: kind
    for kind in (
        Kind("json", "application/json", _json),
        Kind("html", "text/html; charset=utf-8", _html),
        Kind("csv", "text/csv; charset=utf-8; header=present", _csv),
    )
}
