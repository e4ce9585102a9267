"""The API as one page, set from the OpenAPI document: it works offline and runs no script."""

import json
from collections.abc import Iterator, Mapping
from typing import Any

from service.press import html
from service.press.blocks import (
    Block,
    Choice,
    Choices,
    Document,
    Heading,
    Link,
    Paragraph,
    Preformatted,
    Table,
)

_INTRO = (
    "Send the key as Authorization: Bearer kmk_…, or as the password of Basic. Every POST takes "
    "?dry_run=true and an Idempotency-Key; PATCH and DELETE need If-Match. Every refusal is a "
    "problem document that names the field, what was wrong and what to send."
)


def api_page(document: Mapping[str, Any]) -> bytes:
    """Every operation with its parameters and its example, by tag."""
    blocks: list[Block] = [Paragraph(_INTRO)]
    by_tag: dict[str, list[Block]] = {}
    for path, methods in document["paths"].items():
        for method, operation in methods.items():
            tag = (operation.get("tags") or ["more"])[0]
            by_tag.setdefault(tag, []).extend(_operation(path, method.upper(), operation))
    for tag, set_blocks in by_tag.items():
        blocks += [Heading(tag), *set_blocks]
    pages = (Link("OpenAPI document", "/openapi.json"), Link("Kinds of problem", "/problems"))
    blocks.insert(1, Choices(tuple(Choice(page) for page in pages)))
    title, version = document["info"]["title"], document["info"]["version"]
    return html.render(Document(title, f"The API, version {version}", "en", tuple(blocks)))


def _operation(path: str, method: str, operation: Mapping[str, Any]) -> Iterator[Block]:
    yield Heading(f"{method} {path}", 3)
    yield Paragraph(operation.get("summary", operation["operationId"]))
    shared = {"dry_run", "Idempotency-Key", "If-Match"}
    own = [p for p in operation.get("parameters", []) if p["name"] not in shared]
    rows = tuple((p["name"], p["in"], p.get("description", "")) for p in own)
    if rows:
        yield Table(("name", "in", "meaning"), rows)
    content = operation.get("requestBody", {}).get("content", {})
    for media in content.values():
        if "example" in media:
            yield Preformatted(json.dumps(media["example"], ensure_ascii=False, indent=1))
