"""The OpenAPI document, completed: problems, dry runs, conditions, examples from the files."""

import re
from collections.abc import Iterator, Mapping
from typing import Any
from urllib.parse import unquote

from service.errors import registry
from service.web.bodies import BULK, ORDINARY
from service.web.parameters import TRIED
from service.web.problems import MEDIA, Problem

Operation = dict[str, Any]

_DRY_RUN = {
    "name": "dry_run",
    "in": "query",
    "required": False,
    "schema": {"type": "boolean", "default": False},
    "description": "Make all checks and give the answer (status 200), but write nothing. "
    "Numbers that would be drawn are null.",
}
_IDEMPOTENCY = {
    "name": "Idempotency-Key",
    "in": "header",
    "required": False,
    "schema": {"type": "string", "pattern": r'^"?[A-Za-z0-9_.:\-]{8,200}"?$'},
    "description": "The same key with the same body within seven days is answered from the "
    "record, with Idempotency-Replayed: true.",
}
# Mark of the operations that write nothing whatever their method, so that trying them is no use.
RECORDLESS = "x-recordless"
# How many bytes the body of an operation may hold, where it takes a file.
MOST_BYTES = "x-most-bytes"
_ALWAYS = {"400", "404", "405", "422", "500", "503"}
_NEEDS_KEY = {"401", "403"}
_WITH_BODY = {"413", "415"}
_CONDITIONAL = {"412", "428"}


def complete(
    document: dict[str, Any], *, public: frozenset[str], examples: Mapping[str, Any]
) -> dict[str, Any]:
    """The document that FastAPI drew, with what all operations have in common."""
    schemas = document.setdefault("components", {}).setdefault("schemas", {})
    for name in ("HTTPValidationError", "ValidationError"):
        schemas.pop(name, None)
    schemas["Problem"] = Problem.model_json_schema()
    document["components"]["securitySchemes"] = {
        "key": {"type": "http", "scheme": "bearer", "description": "The key as it was shown."},
        "keyAsPassword": {
            "type": "http",
            "scheme": "basic",
            "description": "User: the key's public id; password: the key as it was shown.",
        },
    }
    for path, methods in document["paths"].items():
        for operation in methods.values():
            _fill_path(path, operation, examples.get(operation["operationId"], {}))
    for method, operation in operations(document):
        _complete(method, operation, public=operation["operationId"] in public)
        _add_examples(operation, examples.get(operation["operationId"], {}))
        if method == "PATCH":
            _drop_defaults(operation, schemas)
    _share_problems(document)
    return document


def _share_problems(document: dict[str, Any]) -> None:
    """Each refusal stands once: hundreds of operations answer the same ones."""
    shared = document["components"].setdefault("responses", {})
    for _, operation in operations(document):
        for status, answer in operation["responses"].items():
            media = answer.get("content", {}).get(MEDIA)
            if media is not None and "example" not in media:
                words = re.sub(r"[^a-z0-9]+", "-", answer["description"].lower()).strip("-")
                name = f"{status}-{words[:80]}"
                shared[name] = answer
                operation["responses"][status] = {"$ref": f"#/components/responses/{name}"}


def _drop_defaults(operation: Operation, schemas: dict[str, Any]) -> None:
    """What a merge patch leaves out stays as it is: nothing in it has a default."""
    schema = operation["requestBody"]["content"]["application/json"]["schema"]
    patch = schemas[schema["$ref"].rsplit("/", 1)[1]]
    for field in patch["properties"].values():
        field.pop("default", None)


def operations(document: Mapping[str, Any]) -> Iterator[tuple[str, Operation]]:
    """Each operation with its method."""
    for path in document["paths"].values():
        for method, operation in path.items():
            yield method.upper(), operation


def _complete(method: str, operation: Operation, *, public: bool) -> None:
    parameters = operation.setdefault("parameters", [])
    conditional = any(p["name"] == "If-Match" for p in parameters)
    writes = not operation.pop(RECORDLESS, False) and method != "GET"
    if method in TRIED and writes:
        parameters += [dict(_DRY_RUN), dict(_IDEMPOTENCY)]
        operation["responses"].setdefault("200", _dry_answer())
    wanted = _ALWAYS | (set() if public else _NEEDS_KEY)
    wanted |= _WITH_BODY if method != "GET" else {"406"}
    wanted |= _CONDITIONAL if conditional else set()
    operation["security"] = [] if public else [{"key": []}, {"keyAsPassword": []}]
    declared = operation["responses"]
    for status in sorted(wanted | {"409"} if writes else wanted):
        _add_problem(declared, status)
    for status, answer in declared.items():
        if status >= "400":
            _add_problem(declared, status)
        if status == "413":
            answer["description"] += f": at most {_most(operation) // 1_000_000} MB"
        elif status in {"200", "201"}:
            answer.setdefault("headers", {})["X-Request-Id"] = {"schema": {"type": "string"}}
    if method == "GET":
        declared["304"] = {"description": "Unchanged since the ETag sent in If-None-Match."}


def _most(operation: Operation) -> int:
    most: int = operation.get(MOST_BYTES, BULK if operation.get("x-bulk") else ORDINARY)
    return most


def _dry_answer() -> dict[str, Any]:
    schema = {
        "type": "object",
        "properties": {"dry_run": {"const": True}},
        "required": ["dry_run"],
        "description": "The answer as it would be, numbers to be drawn being null.",
    }
    return {
        "description": "What a dry run would have done; nothing was written.",
        "content": {"application/json": {"schema": schema}},
    }


def _add_problem(declared: dict[str, Any], status: str) -> None:
    answer = declared.setdefault(status, {"description": ""})
    own = answer.pop("x-problems", None)
    titles = [r.title for r in registry().values() if r.slug in (own or ())]
    answer["description"] = "; ".join(titles) or answer["description"] or _title(status)
    answer["content"] = {MEDIA: {"schema": {"$ref": "#/components/schemas/Problem"}}}


def _title(status: str) -> str:
    kinds = [kind for kind in registry().values() if str(kind.status) == status]
    return kinds[0].title if kinds else "Refused"


def _fill_path(template: str, operation: Operation, example: Mapping[str, Any]) -> None:
    """The recorded call's path says what may stand in each of its braces."""
    form = re.sub(r"\\{(\w+)\\}", r"(?P<\1>[^/]+)", re.escape(template))
    if found := re.fullmatch(form, example.get("path", "")):
        for parameter in operation.get("parameters", []):
            if parameter["in"] == "path":
                text = unquote(found[parameter["name"]])
                whole = parameter["schema"].get("type") == "integer"
                parameter["example"] = int(text) if whole else text


def _add_examples(operation: Operation, example: Mapping[str, Any]) -> None:
    if "request" in example and "requestBody" in operation:
        media = operation["requestBody"]["content"]
        next(iter(media.values()))["example"] = example["request"]
    status, answer = str(example.get("status", "")), example.get("response")
    media = operation["responses"].get(status, {}).get("content")
    if answer is not None and media:
        next(iter(media.values()))["example"] = answer
