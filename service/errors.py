"""Refusals: what the service will not do, said once, with nothing of HTTP but a status.

A refusal is a class with a slug, a title and a status; every class is found in `registry()`,
from which the pages under `/problems/` are made.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, ClassVar


@dataclass(frozen=True, slots=True)
class Remedy:
    """A way out: `send` is a JSON merge patch on the body that was sent."""

    if_: str
    send: Any
    then: str | None = None

    def as_json(self) -> dict[str, Any]:
        shown = {"if": self.if_, "send": self.send}
        return shown if self.then is None else {**shown, "then": self.then}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in what was sent: where it stands, what it is, what to send instead."""

    detail: str
    code: str
    pointer: str | None = None
    parameter: str | None = None
    hint: str | None = None
    remedies: tuple[Remedy, ...] = ()

    def as_json(self) -> dict[str, Any]:
        shown: dict[str, Any] = {"detail": self.detail, "code": self.code}
        for name in ("pointer", "parameter", "hint"):
            if (value := getattr(self, name)) is not None:
                shown[name] = value
        if self.remedies:
            shown["remedies"] = [remedy.as_json() for remedy in self.remedies]
        return shown


@dataclass
class Refused(Exception):
    """The parent of all refusals; a subclass states slug, title, status and what it means."""

    slug: ClassVar[str] = "refused"
    title: ClassVar[str] = "Refused"
    status: ClassVar[int] = 422
    about: ClassVar[str] = "The request was understood and refused; `detail` says why."

    detail: str
    faults: tuple[Fault, ...] = ()
    more: Mapping[str, Any] = field(default_factory=dict)
    headers: Mapping[str, str] = field(default_factory=dict)

    def __str__(self) -> str:
        return f"{self.title}: {self.detail}"


def at(pointer: str, detail: str, code: str, **more: Any) -> tuple[Fault, ...]:
    """A single fault at a JSON pointer, the commonest case."""
    return (Fault(detail=detail, code=code, pointer=pointer, **more),)


def below(faults: Iterable[Fault], name: str) -> tuple[Fault, ...]:
    """Faults of a part of a body, as they are of the whole: pointers and remedies move with it."""
    return tuple(
        replace(
            fault,
            pointer=f"#/{name}{fault.pointer[1:]}" if fault.pointer else None,
            remedies=tuple(replace(each, send={name: each.send}) for each in fault.remedies),
        )
        for fault in faults
    )


class Invalid(Refused):
    """Well-formed but not acceptable."""

    slug = "invalid"
    title = "Something in the request is not as it must be"
    status = 422
    about = (
        "The request could be read, but one or more of its parts cannot be taken. Each entry of "
        "`errors` names the place (`pointer` into the body, or `parameter`), what was wrong and, "
        "where that can be said, what to send. Nothing was written."
    )


class NotFound(Refused):
    slug = "not-found"
    title = "There is no such thing here"
    status = 404
    about = "The address or the code names nothing that this service holds. Codes are case-blind."


class Conflict(Refused):
    slug = "conflict"
    title = "This does not fit the present state"
    status = 409
    about = "The request is in order, but what it asks does not fit what is already recorded."


class CodeTaken(Conflict):
    slug = "code-taken"
    title = "This code is already in use"
    about = (
        "Codes are never changed and never used twice, also after archiving. Choose another code, "
        "or change the thing that bears it."
    )


class InUse(Conflict):
    slug = "in-use"
    title = "Something points at it, so it cannot be deleted"
    about = 'Archive it instead: PATCH it with {"archived": true} and its ETag in If-Match.'


class AlreadyCorrected(Conflict):
    slug = "already-corrected"
    title = "This entry was already corrected"
    about = "Correct the newer entry, which `detail` names: an entry is corrected once."


class Busy(Refused):
    slug = "busy"
    title = "Too many at once"
    status = 503
    about = "Nothing was written. Send the same request again after the seconds in Retry-After."


def _family(parent: type[Refused]) -> Iterable[type[Refused]]:
    yield parent
    for child in parent.__subclasses__():
        yield from _family(child)


def registry() -> dict[str, type[Refused]]:
    """Every refusal that has been defined, by its slug."""
    return {kind.slug: kind for kind in _family(Refused)}
