"""What stands in an address: only known parameters, each once, in texts a database takes."""

from collections import Counter
from collections.abc import Iterator
from typing import Any, get_args, get_origin

from fastapi import Request
from fastapi.dependencies.models import Dependant

from service.errors import Fault, Invalid
from service.web.bodies import flaw_of
from service.web.problems import UnknownParameter, Unreadable

# What may be tried first: the methods that no If-Match guards.
TRIED = frozenset({"POST", "PUT"})
LONGEST_WHOLE = 18  # digits that fit 64 bits, whatever they are


def check(request: Request, dependant: Dependant) -> None:
    """Raises UnknownParameter for a name unknown or given twice, Unreadable for its text."""
    known = {param.alias: param.field_info.annotation for param in _query(dependant)}
    if request.method in TRIED:
        known["dry_run"] = bool
    counts = Counter(name for name, _ in request.query_params.multi_items())
    unknown = [name for name in counts if name not in known]
    if unknown:
        there = "Known here: " + (", ".join(sorted(known)) or "none") + "."
        raise _refused(unknown, f"There is no query parameter {unknown[0][:60]!r}.", there)
    twice = [name for name, count in counts.items() if count > 1 and not _many(known[name])]
    if twice:
        raise _refused(twice, f"{twice[0]} is given twice.", "Send it once.")
    _check_texts(request, dependant, known)


def _refused(names: list[str], detail: str, hint: str) -> UnknownParameter:
    faults = tuple(
        Fault(detail=hint, code="unknown-parameter", parameter=name[:60]) for name in names[:20]
    )
    return UnknownParameter(f"{detail} {hint}", faults)


def _check_texts(request: Request, dependant: Dependant, known: dict[str, Any]) -> None:
    given = [(name, text, known[name]) for name, text in request.query_params.multi_items()]
    sent = request.path_params
    given += [(p.alias, sent[p.alias], p.field_info.annotation) for p in dependant.path_params]
    for name, text, kind in given:
        if flaw := flaw_of(text):
            raise Unreadable(f"{name} holds {flaw}.")
        if len(text) > LONGEST_WHOLE and int in (kind, *get_args(kind)):
            raise Unreadable(f"{name} is no number of at most {LONGEST_WHOLE} digits.")


def _query(dependant: Dependant) -> Iterator[Any]:
    yield from dependant.query_params
    for inner in dependant.dependencies:
        yield from _query(inner)


def _many(kind: Any) -> bool:
    return any(get_origin(part) in {list, set, tuple} for part in (kind, *get_args(kind)))


def dry_run(request: Request) -> bool:
    """Whether what is asked is only tried. Raises Invalid."""
    tried = request.method in TRIED
    asked = request.query_params.get("dry_run", "false") if tried else "false"
    if asked not in {"true", "false"}:
        fault = Fault(detail="Send true or false.", code="wrong-type", parameter="dry_run")
        raise Invalid("dry_run must be true or false.", (fault,))
    return asked == "true"
