"""Bodies of the page that comes back from the shelf, and of its corrections."""

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator, Field, WithJsonSchema, WrapValidator, model_validator

from service.office.attachments.bodies import AttachmentName
from service.science.units import Quantity
from service.web.corrections import CorrectionIn, ReplacementIn
from service.web.fields import Code, Day, In, Line, Mark, Out, Utc, Written, refusal
from service.workshop.deviations.bodies import Flag
from service.workshop.shelf.bodies.takes import CountOut
from service.workshop.stock.bodies import Entered, Held, StockAmount

_NOTHING = re.compile(r"0+(?:\.0*)?(?:\s*([^\W\d_].*))?")  # "0.5 kg" is something
_COUNTED = {
    "oneOf": [
        {"type": "string", "maxLength": 64, "examples": ["2.31 kg", "24", "0", ""]},
        {"type": "integer"},
        {
            "type": "object",
            "properties": {
                "value": {"anyOf": [{"type": "string"}, {"type": "number"}]},
                "unit": {"type": "string"},
            },
            "required": ["value", "unit"],
            "additionalProperties": False,
        },
        {"type": "null"},
    ],
    "description": "A mass, a volume or a number of pieces; blank: not counted",
}


def _counted(value: Any, read: Callable[[Any], Entered]) -> Entered | None:
    """An amount, nothing of it, or None where the place was left blank."""
    if value is None or (isinstance(value, str) and not value.strip()):
        return None
    unit = _unit_of_nothing(value)
    if unit is None:
        return read(value)
    if not unit:
        return Entered(Quantity(Decimal(0), "", ""), "")
    one = read(f"1 {unit}").quantity
    return Entered(Quantity(Decimal(0), one.unit, one.dimension), "")


def _unit_of_nothing(value: Any) -> str | None:
    """The unit of "0 kg", an empty one where it has none; None for anything but nothing."""
    if isinstance(value, dict) and set(value) == {"value", "unit"}:
        value = f"{value['value']} {value['unit']}"
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        return None
    found = _NOTHING.fullmatch(str(value).strip())
    return None if found is None else found[1] or ""


Counted = Annotated[StockAmount | None, WrapValidator(_counted), WithJsonSchema(_COUNTED)]


class CountIn(In):
    """What was counted at a line, where more is to be said than the amount."""

    counted: Counted = None
    remark: Line | None = None


def _as_count(value: Any) -> Any:
    """A bare amount stands for what was counted."""
    if value is None or isinstance(value, CountIn):
        return value
    bare = not isinstance(value, dict) or set(value) <= {"value", "unit"}
    return {"counted": value} if bare else value


_LINE = {
    "oneOf": [
        *_COUNTED["oneOf"],
        {
            "type": "object",
            "properties": {
                "counted": _COUNTED,
                "remark": {"type": ["string", "null"], "maxLength": 200},
            },
            "required": ["counted"],
            "additionalProperties": False,
        },
    ],
    "description": "What was counted; blank: not counted",
}
CountLine = Annotated[CountIn | None, BeforeValidator(_as_count), WithJsonSchema(_LINE)]
LineNumber = Annotated[str, Field(pattern=r"^[1-9][0-9]{0,3}$")]


class FoundIn(In):
    """A lot that is there and stands on no line of the sheet."""

    lot: Mark
    counted: Counted
    remark: Line | None = None

    @model_validator(mode="after")
    def _is_counted(self) -> "FoundIn":
        if self.counted is None:
            raise refusal("not-counted", "How much was found is not said.", below=("counted",))
        return self


class CountsIn(In):
    """The sheet as it comes back: what was counted, by line, on a day or at a time."""

    counted_on: Day | None = Field(default=None, description="Where absent, today.")
    counted_at: Mark | None = Field(
        default=None,
        description='"17:30" or "about 17:30" on that day; where absent, now today, and the end '
        "of an earlier day. What happened later is left as it is.",
    )
    lines: dict[LineNumber, CountLine] = Field(default={}, max_length=2000)
    found: list[FoundIn] = Field(default=[], max_length=200)
    photo: AttachmentName | None = Field(default=None, description="Of the page itself.")
    by: Code | None = None

    @model_validator(mode="after")
    def _says_something(self) -> "CountsIn":
        if not (self.filled or self.found):
            hint = "Fill in what was counted; lines that were not reached stay null."
            raise refusal("page-empty", "Nothing is counted on this page.", hint)
        return self

    @property
    def filled(self) -> dict[int, CountIn]:
        """The lines at which something was counted, by number."""
        lines = {int(name): line for name, line in self.lines.items()}
        return {
            number: line
            for number, line in sorted(lines.items())
            if line is not None and line.counted is not None
        }


class CountMade(Out):
    """A line as it was counted, and what follows from it."""

    line: int
    lot: str
    material: str
    count: CountOut
    left: Held = Field(description="What the ledger says now.")


class CountsMade(Written):
    take: str
    page: int
    counted_at: Utc
    lines: list[CountMade]
    not_counted: int = Field(description="Lines of the sheet that are still to be counted.")
    concluded: list[str] = Field(description="Deviations that the counts explain.")
    flags: list[Flag]


class CountReplacement(ReplacementIn):
    needed: ClassVar[frozenset[str]] = frozenset({"counted"})

    counted: Counted = None
    remark: Line | None = None


class CountCorrection(CorrectionIn):
    """What the page should have said, or `void` where nothing was counted there."""

    replaces: CountReplacement | None = None


class CountCorrected(Written):
    take: str
    line: int
    lot: str
    entry: int
    corrects: int
    count: CountOut | None = Field(description="Null where it was voided.")
    left: Held
    reopened: list[str] = Field(description="Deviations that it does not explain any more.")
    flags: list[Flag]
