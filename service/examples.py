"""The numbered example calls: shown in the OpenAPI document, played by the demo, replayed by tests.

Two folders: the scenario, which the demo plays, and `calculations`, sums that look at no record.
Each file holds one call: operation, title, method, path, request, status, response, and `keep`, the
values of its answer that later paths name in braces. Where a file is sent, `content` holds its
bytes in base64 instead of `request`.
"""

import base64
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from importlib.resources import files
from typing import Any
from urllib.parse import quote, urlencode

_NAME = re.compile(r"\{([a-z_]+)\}")


@dataclass(frozen=True)
class Example:
    """One call."""

    file: str
    operation: str
    title: str
    method: str
    path: str
    status: int
    request: Any = None
    content: str | None = None
    response: Any = None
    headers: Mapping[str, str] = field(default_factory=dict)
    keep: Mapping[str, str] = field(default_factory=dict)

    def sending(self) -> dict[str, Any]:
        """The body as an HTTP client takes it: JSON, or the bytes of a file."""
        if self.content is not None:
            return {"content": base64.b64decode(self.content)}
        return {} if self.request is None else {"json": self.request}

    def path_with(self, kept: Mapping[str, str]) -> str:
        """The path with the values kept from earlier answers."""
        return _NAME.sub(lambda found: kept[found[1]], self.path)

    def kept_from(self, answer: Any) -> dict[str, str]:
        """What later calls need of this answer."""
        return {name: str(at_pointer(answer, pointer)) for name, pointer in self.keep.items()}


def at_pointer(value: Any, pointer: str) -> Any:
    """The value at a JSON pointer (RFC 6901)."""
    for step in pointer.split("/")[1:]:
        value = value[int(step)] if isinstance(value, list) else value[step]
    return value


def load() -> list[Example]:
    """The calls of the scenario in the order of their numbers."""
    return list(_read(_folder()))


def sums() -> list[Example]:
    """The sums, each as a body and then as a query string, which is answered alike."""
    files_of_it = list(_read(_folder().joinpath("calculations")))
    return [form for call in files_of_it for form in _forms(call)]


def every() -> list[Example]:
    """The scenario and then the sums."""
    return load() + sums()


def _folder() -> Any:
    # An installed wheel carries them inside the package, a checkout beside it.
    inside = files("service").joinpath("_examples")
    return inside if inside.is_dir() else files("service").joinpath("..", "openapi_examples")


def _forms(call: Example) -> tuple[Example, ...]:
    return (call, _asked_by_address(call)) if call.method == "POST" else (call,)


def _asked_by_address(call: Example) -> Example:
    operation = call.operation.replace("calculate_", "query_", 1)
    path = f"{call.path}?{query_string(call.request or {})}"
    return replace(call, operation=operation, method="GET", path=path, request=None)


def query_string(body: Mapping[str, Any]) -> str:
    """A body as an address: a list is its name repeated, a record its values between colons.

    A record of an example leaves no field out before one that it sends, since the colons count;
    what is null in it is left empty.
    """
    pairs = [
        (name, ":".join(map(_text, value.values())) if isinstance(value, dict) else _text(value))
        for name, values in body.items()
        for value in (values if isinstance(values, list) else [values])
    ]
    return urlencode(pairs, safe=":", quote_via=quote)


def _text(value: Any) -> str:
    return "" if value is None else str(value)


def _read(folder: Any) -> Iterator[Example]:
    for entry in sorted(folder.iterdir(), key=lambda entry: str(entry.name)):
        if entry.name.endswith(".json"):
            yield Example(file=entry.name, **json.loads(entry.read_text("utf-8")))


def by_operation() -> dict[str, dict[str, Any]]:
    """The first example of each operation, as the OpenAPI document shows it."""
    found: dict[str, dict[str, Any]] = {}
    known: dict[str, str] = {}
    for example in every():
        shown = {
            "path": example.path_with(known).split("?")[0],
            "request": example.request,
            "status": example.status,
            "response": example.response,
        }
        kept = {name: value for name, value in shown.items() if value is not None}
        found.setdefault(example.operation, kept)
        known.update(example.kept_from(example.response))
    return found
