"""Compares the OpenAPI document with the committed one; `--write` takes the present one over.

The document is the contract with every client: it changes only by a commit that shows how.
"""

import json
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from service.app import document

SNAPSHOT = Path(__file__).with_name("openapi.json")


def breaking(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    """What a client of the old document would miss in the new one."""
    for path, methods in old["paths"].items():
        for method, operation in methods.items():
            found = new["paths"].get(path, {}).get(method)
            name = f"{method.upper()} {path}"
            if found is None:
                yield f"{name} is gone"
                continue
            lost = set(operation["responses"]) - set(found["responses"])
            yield from (f"{name} no longer answers {status}" for status in sorted(lost))
            yield from _parameters(name, operation, found)
    schemas, held = new["components"]["schemas"], old["components"]["schemas"]
    for name, schema in held.items():
        yield from _schema(name, schema, schemas.get(name))


def _parameters(name: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    now = {p["name"]: p for p in new.get("parameters", [])}
    before = {p["name"] for p in old.get("parameters", [])}
    yield from (f"{name} lost the parameter {gone}" for gone in sorted(before - set(now)))
    needed = {n for n, p in now.items() if p.get("required")} - before
    yield from (f"{name} now needs {parameter}" for parameter in sorted(needed))


def _schema(name: str, old: Mapping[str, Any], new: Mapping[str, Any] | None) -> Iterator[str]:
    if new is None:
        yield f"the schema {name} is gone"
        return
    lost = set(old.get("properties", {})) - set(new.get("properties", {}))
    yield from (f"{name} lost {field}" for field in sorted(lost))
    if new.get("additionalProperties") is False:
        needed = set(new.get("required", [])) - set(old.get("required", []))
        yield from (f"{name} now needs {field}" for field in sorted(needed))


def bare(value: Any) -> Any:
    """The document without its examples, which stand in files of their own."""
    if isinstance(value, dict):
        return {name: bare(inner) for name, inner in value.items() if name != "example"}
    return [bare(inner) for inner in value] if isinstance(value, list) else value


def main() -> int:
    now = bare(document())
    text = json.dumps(now, indent=1, ensure_ascii=False, sort_keys=True) + "\n"
    if "--write" in sys.argv:
        SNAPSHOT.write_text(text, "utf-8")
        return 0
    held = SNAPSHOT.read_text("utf-8") if SNAPSHOT.exists() else "{}"
    if held == text:
        print("OpenAPI: as committed")
        return 0
    print("OpenAPI differs from tests/house/openapi.json; write it with --write and commit it.")
    if held != "{}":
        for line in breaking(json.loads(held), now):
            print(f"  breaking: {line}")
    return 1


if __name__ == "__main__":
    sys.exit(main())
