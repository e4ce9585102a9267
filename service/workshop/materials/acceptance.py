"""What must be measured of a received lot before it is released, as a material asks for it."""

from typing import Annotated

from pydantic import AfterValidator, Field

from service.web.fields import refusal
from service.workshop.materials.rules import properties

_SEND = 'Send each property once, for example ["acid_value", "density"].'


def _check(names: tuple[str, ...]) -> tuple[str, ...]:
    known = properties()
    for place, name in enumerate(names):
        if name not in known:
            wrong, hint = f"{name[:40]!r} is no property.", f"Known: {', '.join(known)}."
            raise refusal("property-unknown", wrong, hint, below=(place,))
        if name in names[:place]:
            raise refusal("property-twice", f"{name} stands here twice.", _SEND, below=(place,))
    return names


AcceptWith = Annotated[
    tuple[Annotated[str, Field(max_length=30)], ...],
    AfterValidator(_check),
    Field(
        max_length=12,
        description="Properties that are measured before a received lot is released; where any "
        "is named, its received lots start in quarantine.",
        examples=[["acid_value", "density"]],
    ),
]
