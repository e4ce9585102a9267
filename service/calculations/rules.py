"""Refusals of the calculations, each at the input to blame."""

import difflib
from collections.abc import Iterable, Sequence

from service.errors import Fault, Invalid, NotFound, Refused
from service.science.errors import ScienceError


class UnknownCalculation(NotFound):
    slug = "calculation-unknown"
    title = "There is no such calculation"
    about = "`/v1/calculations` lists them with their inputs; `did_you_mean` names the nearest."


class NoSingleFigure(Refused):
    slug = "no-single-figure"
    title = "This cannot stand in one cell"
    status = 422
    about = (
        "`as=value` answers one figure. Some answers are tables, and some have no figure for what "
        "was sent; ask without it to see the whole answer with its notes."
    )


class NoSuchFigure(Refused):
    slug = "answer-figure-unknown"
    title = "The answer has no such figure"
    status = 422
    about = "Ask without `as=value` to see every figure of the answer by its name."


def unknown_calculation(name: str, known: Iterable[str]) -> UnknownCalculation:
    """The refusal, with the names that are nearest."""
    near = difflib.get_close_matches(name.lower()[:60], list(known), n=3, cutoff=0.5)
    return UnknownCalculation(
        f"There is no calculation {name[:60]!r}.", more={"did_you_mean": near}
    )


def unknown_figure(name: str, known: Iterable[str]) -> NoSuchFigure:
    """The refusal, with the names there are."""
    hint = f"Use one of: {', '.join(known)}."
    detail = f"The answer has no figure {name[:60]!r}."
    fault = Fault(detail=detail, code="answer-figure-unknown", parameter="figure", hint=hint)
    return NoSuchFigure(detail, (fault,))


def no_single_figure(name: str, known: Iterable[str]) -> NoSingleFigure:
    """The refusal of a cell for a figure that is absent or a table."""
    detail = f"{name} is not one figure here: it is a table, or there is none for these inputs."
    hint = f"Ask without as=value, or for one of: {', '.join(known)}."
    return NoSingleFigure(
        detail, (Fault(detail=detail, code="no-single-figure", parameter="figure", hint=hint),)
    )


def at_fault(error: ScienceError, *, query: bool) -> Invalid:
    """A refusal of the science at the place of the input that it blames."""
    detail, hint = _sentence(error.message), _sentence(error.hint)
    if query:
        return in_query(error.field.split("/"), detail, code=error.code, hint=hint)
    pointer = f"#/{error.field}".removesuffix("/")
    fault = Fault(detail=detail, code=error.code, hint=hint, pointer=pointer)
    return Invalid(f"{pointer}: {detail}", (fault,))


def in_query(place: Sequence[str | int], detail: str, *, code: str, hint: str | None) -> Invalid:
    """A refusal that names a query parameter, and in words the place within it."""
    name = str(place[0]) if place else ""
    words = "".join(f", {_nth(step)}" for step in place[1:])
    said = f"{name}{words}: {detail}" if words else detail
    fault = Fault(detail=said, code=code, hint=hint, parameter=name)
    return Invalid(said if words else f"{name}: {detail}", (fault,))


def _nth(step: str | int) -> str:
    """A step into a list as a person counts."""
    return f"number {int(step) + 1}" if str(step).isdigit() else str(step)


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] + "."
