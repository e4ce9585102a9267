"""The numbered example calls: shown in the OpenAPI document, played by the demo, replayed by tests.

Each file holds one call: operation, title, method, path, request, status, response, and `keep`, the
values of its answer that later paths name in braces.
"""

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any

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
    response: Any = None
    headers: Mapping[str, str] = field(default_factory=dict)
    keep: Mapping[str, str] = field(default_factory=dict)

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
    """All examples in the order of their numbers."""
    # An installed wheel carries them inside the package, a checkout beside it.
    inside = files("service").joinpath("_examples")
    folder = inside if inside.is_dir() else files("service").joinpath("..", "openapi_examples")
    return list(_read(folder))


def _read(folder: Any) -> Iterator[Example]:
    for entry in sorted(folder.iterdir(), key=lambda entry: str(entry.name)):
        if entry.name.endswith(".json"):
            yield Example(file=entry.name, **json.loads(entry.read_text("utf-8")))


def by_operation() -> dict[str, dict[str, Any]]:
    """The first example of each operation, as the OpenAPI document shows it."""
    found: dict[str, dict[str, Any]] = {}
    known: dict[str, str] = {}
    for example in load():
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
