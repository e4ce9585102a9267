"""Every operation of the app, found in its OpenAPI document, with a path and a body to try."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from service.app import document

DOCUMENT = document()
_IN_PATH = re.compile(r"\{[^}]+\}")


@dataclass(frozen=True)
class Operation:
    """One method of one path."""

    name: str
    method: str
    path: str
    drawn: dict[str, Any]

    def path_of(self, value: str = "XX-1") -> str:
        """The path with the same value in each of its places."""
        return _IN_PATH.sub(value, self.path)

    @property
    def takes_json(self) -> bool:
        return "application/json" in self.drawn.get("requestBody", {}).get("content", {})

    @property
    def public(self) -> bool:
        return not self.drawn["security"]

    @property
    def conditional(self) -> bool:
        return any(p["name"] == "If-Match" for p in self.drawn["parameters"])

    def __str__(self) -> str:
        return self.name


def _found() -> Iterator[Operation]:
    for path, methods in DOCUMENT["paths"].items():
        for method, drawn in methods.items():
            yield Operation(drawn["operationId"], method.upper(), path, drawn)


ALL = tuple(_found())
READING = tuple(o for o in ALL if o.method == "GET")
WRITING = tuple(o for o in ALL if o.method != "GET")
WITH_BODY = tuple(o for o in WRITING if o.takes_json)
KEYED = tuple(o for o in ALL if not o.public)
