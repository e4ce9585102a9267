"""Payload errors in plain words: what pydantic found, as faults with a pointer and what to send."""

from collections.abc import Mapping, Sequence
from typing import Any

from service.errors import Fault

_WORDS = {
    "missing": ("missing", "This is needed and was not sent.", None),
    "extra_forbidden": (
        "unknown-field",
        "There is no field of this name here.",
        "Remove it, or look at its spelling.",
    ),
    "json_invalid": ("malformed-json", "The body is not JSON.", None),
    "model_attributes_type": ("wrong-type", "A JSON object is needed here.", "Send {…}."),
    "model_type": ("wrong-type", "A JSON object is needed here.", "Send {…}."),
    "dict_type": ("wrong-type", "A JSON object is needed here.", "Send {…}."),
    "list_type": ("wrong-type", "A JSON array is needed here.", "Send […]."),
    "tuple_type": ("wrong-type", "A JSON array is needed here.", "Send […]."),
    "string_type": ("wrong-type", "A text is needed here.", 'Send "…" in quotes.'),
    "bool_type": ("wrong-type", "true or false is needed here.", None),
    "bool_parsing": ("wrong-type", "true or false is needed here.", None),
    "int_type": ("wrong-type", "A whole number is needed here.", None),
    "int_parsing": ("wrong-type", "A whole number is needed here.", None),
    "int_from_float": ("wrong-type", "A whole number is needed here.", None),
}


def faults_of(errors: Sequence[Mapping[str, Any]]) -> tuple[Fault, ...]:
    """One fault per error, at most fifty; the input itself is never echoed."""
    return tuple(_fault(error) for error in errors[:50])


def _fault(error: Mapping[str, Any]) -> Fault:
    kind, context = error["type"], error.get("ctx") or {}
    if kind in _WORDS:
        code, detail, hint = _WORDS[kind]
    else:
        code = kind.replace("_", "-")
        detail = str(error["msg"]).removeprefix("Value error, ")
        hint = context.get("hint")
    location = (*error["loc"], *context.get("below", ()))
    return Fault(detail=detail, code=code, hint=hint, **_place(location))


def _place(location: Sequence[Any]) -> dict[str, Any]:
    where, *steps = location or ("body",)
    if where == "body":
        steps = [step for step in steps if not _is_branch(step)]
        return {"pointer": "#" + "".join(f"/{_escaped(step)}" for step in steps)}
    return {"parameter": ".".join(str(step) for step in steps)}


def _is_branch(step: Any) -> bool:
    # pydantic names the branch of a union it tried ("str", "function-before[...]", "WeighedIn"):
    # that is no place in the body.
    return isinstance(step, str) and ("[" in step or step in {"str", "int"} or step.endswith("In"))


def _escaped(step: Any) -> str:
    return str(step).replace("~", "~0").replace("/", "~1")
