"""Payload errors as bodies and actions raise them; pydantic only, nothing of HTTP."""

from pydantic_core import PydanticCustomError

from service.errors import Invalid, at


def refusal(
    code: str, detail: str, hint: str | None = None, *, below: tuple[str | int, ...] = ()
) -> PydanticCustomError:
    """A payload error with a stable code and what to send.

    `below` names the place inside the validated value, where pydantic knows only the whole.
    """
    # The words go in as values: braces in them must not be read as a template.
    return PydanticCustomError(
        code.replace("-", "_"),
        "{detail}",
        {"detail": detail, "hint": hint, "below": below},
    )


def refusal_below(error: PydanticCustomError, *steps: str | int) -> PydanticCustomError:
    """The same payload error, its place moved below these steps."""
    found = error.context or {}
    place = (*steps, *found.get("below", ()))
    return refusal(error.type, found.get("detail", ""), found.get("hint"), below=place)


def refused_at(error: PydanticCustomError, pointer: str) -> Invalid:
    """A payload error that was found only in the action, at its place in the body."""
    found = error.context or {}
    steps = "".join(f"/{step}" for step in found.get("below", ()))
    code = error.type.replace("_", "-")
    detail = str(found.get("detail", ""))
    return Invalid(detail, at(pointer + steps, detail, code, hint=found.get("hint")))
