"""What a calculation answers, and how the list of them is told."""

from typing import Any

from pydantic import Field

from service.web.fields import Out

Value = str | bool | list[Any] | None


class Finding(Out):
    """One figure of an answer; a number is decimal text, so that its digits survive."""

    value: Value
    unit: str | None


class CalculationOut(Out):
    """The answer, and everything a careful person would want to see of how it came about."""

    calculation: str
    value: Value
    unit: str | None
    basis: str = Field(description="calculated")
    standing: str = Field(description="How the figure stands: exact, approximate, theoretical …")
    why: str | None = Field(description="Why it stands as it does.")
    figures: dict[str, Finding] = Field(description="Every figure of the result by its name.")
    notes: list[str] = Field(description="What to look at before relying on it.")
    given: dict[str, Any] = Field(description="What was sent, as it was understood.")
    assumed: dict[str, Any] = Field(description="What was not sent and was filled in.")
    source: str
    validity: dict[str, str] = Field(description="Unit and range of each input.")
    rounding: str


class InputOut(Out):
    """One input of a calculation."""

    name: str
    meaning: str
    unit: str | None
    allowed: str
    required: bool
    many: bool
    choices: list[str]
    fields: list[Any] = Field(description="Where one value is a record: its fields, as inputs.")


class CalculationShown(Out):
    """A calculation in the list."""

    name: str
    topic: str
    purpose: str
    says: str
    href: str
    inputs: list[InputOut]
    source: str


class CalculationsOut(Out):
    data: list[CalculationShown]
