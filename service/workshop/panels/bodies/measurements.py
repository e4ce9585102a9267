"""Bodies of properties measured on a lot."""

from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema, model_validator
from pydantic_core import PydanticCustomError

from service.science.units import Quantity
from service.web.fields import (
    Code,
    Day,
    In,
    Line,
    Short,
    Temperature,
    Written,
    read_quantity,
    refusal,
    refusal_below,
)
from service.workshop.materials.bodies import NamedFigure, check_property
from service.workshop.materials.rules import figure_problem, properties
from service.workshop.panels.bodies.readings import ReadingOut

MOST_REPLICATES = 12


class MeasuredIn(In):
    """One property measured once or several times."""

    value: Any = Field(description='"62 s", or a list of replicates')
    unit: Short | None = Field(default=None, description="Of bare numbers.")
    method: Line | None = None
    temperature: Temperature | None = None

    @property
    def values(self) -> list[Any]:
        return self.value if isinstance(self.value, list) else [self.value]

    def read(self, name: str) -> list[Quantity]:
        """The replicates; raises a payload error below its place."""
        known = properties()[name]
        if not 1 <= len(self.values) <= MOST_REPLICATES:
            raise refusal("out-of-range", f"1 to {MOST_REPLICATES} replicates are taken.")
        found: list[Quantity] = []
        for place, value in enumerate(self.values):
            given = value if self.unit is None else {"value": value, "unit": self.unit}
            try:
                quantity: Quantity = read_quantity(given, known.dimension, None)
                if wrong := figure_problem(known, quantity):
                    raise refusal("out-of-range", wrong)
            except PydanticCustomError as error:
                steps = (place,) if isinstance(self.value, list) else ()
                raise refusal_below(error, *steps) from None
            found.append(quantity)
        return found


def _long_measured(value: Any) -> Any:
    whole = isinstance(value, str | int | Decimal | list)
    amount_form = isinstance(value, dict) and set(value) == {"value", "unit"}
    single = amount_form and not isinstance(value["value"], list)
    return {"value": value} if whole or single else value


def _check_measured(rows: dict[str, MeasuredIn]) -> dict[str, MeasuredIn]:
    for name, row in rows.items():
        try:
            check_property(name)
            row.read(name)
        except PydanticCustomError as error:
            raise refusal_below(error, name) from None
    return rows


_MEASURED_SCHEMA = {
    "description": "One value, a list of replicates, or an object with method and temperature",
    "anyOf": [
        {"type": "string", "examples": ["0.897 kg/l"]},
        {"type": "array", "items": {}, "maxItems": MOST_REPLICATES},
        {"type": "object", "properties": {"value": {}}, "required": ["value"]},
    ],
}
Measured = Annotated[MeasuredIn, BeforeValidator(_long_measured), WithJsonSchema(_MEASURED_SCHEMA)]


class LotReadingsIn(In):
    """Properties measured on a lot; the mean of each becomes the lot's figure."""

    rows: Annotated[
        dict[str, Measured], AfterValidator(_check_measured), Field(min_length=1, max_length=21)
    ]
    methods: dict[str, Line] = Field(default={}, max_length=21, description="By property.")
    temperature: Temperature | None = None
    on: Day | None = None
    by: Code | None = None

    @model_validator(mode="after")
    def _methods_of_rows(self) -> "LotReadingsIn":
        for name in self.methods:
            if name not in self.rows:
                wrong = f"{name[:40]!r} has a method and no reading."
                raise refusal("method-without-row", wrong, below=("methods", name))
        return self


class LotReadingsMade(Written):
    lot: str
    readings: list[ReadingOut]
    figures: list[NamedFigure]
    notes: dict[str, dict[str, Any]]
