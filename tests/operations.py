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
    def guard(self) -> str:
        """The row of the scope matrix: its own, or the one that all calculations share."""
        return "calculate" if "calculations" in self.drawn.get("tags", ()) else self.name

    @property
    def conditional(self) -> bool:
        return any(p["name"] == "If-Match" for p in self.drawn["parameters"])

    def __str__(self) -> str:
        return self.name


# Every sum is answered by the same two handlers, and tests/calculations asks each of them; in tests
# that send something to every operation these stand for all: no list, a list, records, a record.
SAMPLED = {"flow-cup", "replicate-readings", "mass-balance", "delta-e-76"}


def sampled(path: str) -> bool:
    """Whether an operation is its own, or one of the sums that stand for the others."""
    _, sums, name = path.partition("/v1/calculations/")
    return not sums or name in SAMPLED


def _found() -> Iterator[Operation]:
    for path, methods in DOCUMENT["paths"].items():
        for method, drawn in methods.items():
            yield Operation(drawn["operationId"], method.upper(), path, drawn)


EVERY = tuple(_found())
ALL = tuple(o for o in EVERY if sampled(o.path))
READING = tuple(o for o in ALL if o.method == "GET")
WRITING = tuple(o for o in ALL if o.method != "GET")
WITH_BODY = tuple(o for o in WRITING if o.takes_json)
KEYED = tuple(o for o in ALL if not o.public)
