"""Payload errors in plain words: what pydantic found, as faults with a pointer and what to send."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.errors import Fault

LONGEST_NAME = 80
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

_BOUNDS = {
    "greater_than_equal": "{ge} is the least that is taken here.",
    "less_than_equal": "{le} is the most that is taken here.",
    "greater_than": "More than {gt} is needed here.",
    "less_than": "Less than {lt} is needed here.",
    "too_short": "{actual_length} are too few here: {min_length} at least.",
    "too_long": "{actual_length} are too many here: {max_length} at most.",
}


def faults_of(errors: Sequence[Mapping[str, Any]], body: Any = None) -> tuple[Fault, ...]:
    """One fault per error, at most fifty; of the body only the names of its fields are told."""
    return tuple(_fault(error, body) for error in errors[:50])


def _fault(error: Mapping[str, Any], body: Any) -> Fault:
    kind, context = error["type"], error.get("ctx") or {}
    hint: str | None
    if kind == "literal_error":
        code, detail = "literal-error", "This is none of the words that are taken here."
        hint = f"Send one of: {context.get('expected', '')}."
    elif kind in _WORDS:
        code, detail, hint = _WORDS[kind]
    elif kind in _BOUNDS and _BOUNDS[kind].split("{")[1].split("}")[0] in context:
        code, hint = kind.replace("_", "-"), None
        detail = _BOUNDS[kind].format(**context)
    else:
        code = kind.replace("_", "-")
        detail = str(error["msg"]).removeprefix("Value error, ")
        hint = context.get("hint")
    where, *steps = error["loc"] or ("body",)
    if where != "body":
        parameter = ".".join(str(step) for step in steps)
        return Fault(detail=detail, code=code, hint=hint, parameter=parameter)
    split = len(steps) - (kind == "missing")  # what is missing is no step into what was sent
    place = [*_steps(steps[:split], body), *steps[split:], *context.get("below", ())]
    return Fault(detail=detail, code=code, hint=hint, pointer=_pointer(place))


def _steps(location: Sequence[Any], body: Any) -> Iterator[Any]:
    """The steps that lead into the body. Between them pydantic names the branch of a union that it
    tried ("str", "WeighedIn"): no place in what was sent."""
    for step in location:
        if _leads(step, body):
            body = body[step]
            yield step


def _leads(step: Any, body: Any) -> bool:
    if isinstance(body, dict):
        return step in body
    return isinstance(body, list) and isinstance(step, int) and step < len(body)


def _pointer(steps: Sequence[Any]) -> str:
    return "#" + "".join(f"/{_escaped(str(step))}" for step in steps)


def _escaped(step: str) -> str:
    if len(step) > LONGEST_NAME:
        step = step[:LONGEST_NAME] + "…"
    return step.replace("~", "~0").replace("/", "~1")
