"""Scalings that were frozen before some of today's fields were known, told in today's shape."""

from typing import Any

_LINE: dict[str, Any] = {
    "how": "as it was frozen",
    "tolerance": None,
    "condition": None,
    "others": [],
}
_CAUTION: dict[str, Any] = {"danger": 1, "why": "as it was frozen", "shown": True}
_WHOLE: dict[str, Any] = {
    "limited_by": None,
    "losses": [],
    "to_make": [],
    "flags": [],
    "fill": None,
    "heat": [],
    "bench": None,
    "sent": {},
}


def in_todays_shape(found: dict[str, Any]) -> dict[str, Any]:
    """The frozen content with what it could not say yet left empty; nothing in it is changed."""
    stages = {line["line"]: line["stage"] for line in found["lines"]}
    first = next(iter(stages.values()))
    cautions = [
        {**_CAUTION, "stage": stages.get(one["line"], first), **one} for one in found["cautions"]
    ]
    lines = [{**_LINE, **line} for line in found["lines"]]
    return {**_WHOLE, **found, "lines": lines, "cautions": cautions}
