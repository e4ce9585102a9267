"""Bodies of what a cook log says: its analysis, and its curve as data."""

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from service.web.fields import Amount, Figure, In, Mark, Out, Utc, number, refusal

Celsius: Any = number("-20", "400")
Reference: Any = number("100", "350")
Energy: Any = number("20", "300")
Minutes: Any = number("0.01", "1440")


class CookQuestion(In):
    """What is asked of a cook log."""

    series: Mark | None = Field(
        default=None, description="A device, or `by hand`; else the device with the most readings."
    )
    above_c: list[Celsius] = Field(
        default=[],
        max_length=8,
        description="Times above these temperatures; else 5 K below each one of the sheet.",
    )
    window_min: Minutes = Field(
        default=Decimal(5), description="Over how many minutes a rise or fall is taken."
    )
    gap_min: Minutes | None = Field(
        default=None,
        description="A longer stretch without a reading is a gap; else five times the usual "
        "interval, two minutes at least.",
    )
    reference_c: Reference | None = Field(
        default=None, description="The temperature that the equivalent time is told at."
    )
    activation_energy_kj_mol: Energy | None = Field(
        default=None, description="Of this process; never assumed."
    )
    earlier: Annotated[int, Field(ge=0, le=20)] = Field(
        default=5, description="With how many earlier batches of the version it is compared."
    )

    @model_validator(mode="after")
    def _both_or_neither(self) -> "CookQuestion":
        if (self.reference_c is None) != (self.activation_energy_kj_mol is None):
            missing = "reference_c" if self.reference_c is None else "activation_energy_kj_mol"
            wrong = "An equivalent time needs its reference and a stated activation energy."
            raise refusal("one-of-two", wrong, f"Add {missing}.", below=(missing,))
        return self


class SeriesOut(Out):
    name: str
    readings: int


class HighestOut(Out):
    temperature: Figure
    at: Utc
    after: Figure = Field(description="Since the first reading.")


class AboveOut(Out):
    threshold: Amount
    time: Figure
    at_least: bool = Field(description="True where a gap may hide more.")
    first_at: Utc | None


class RampOut(Out):
    rate: Figure
    at: Utc = Field(description="Where the window begins.")


class GapOut(Out):
    from_: Utc = Field(serialization_alias="from")
    to: Utc
    time: Figure


class EquivalentOut(Out):
    time: Figure
    at_least: bool
    reference: Amount
    activation_energy: Amount


class ComparedOut(Out):
    """One measure beside the same of earlier batches."""

    name: str
    label: str
    this: Figure
    low: Figure | None
    high: Figure | None
    batches: int
    verdict: Literal["within", "below", "above", "first"]


class EarlierOut(Out):
    batch: str
    series: str
    measures: dict[str, Amount]


class CookAnalysisOut(Out):
    """What the log of a batch says; every time is null where nothing was read."""

    batch: str
    series: str | None
    readings: int
    others: list[SeriesOut]
    set_aside: int
    first_at: Utc | None
    last_at: Utc | None
    span: Figure | None
    seen: Figure | None = Field(description="The span without the gaps.")
    highest: HighestOut | None
    above: list[AboveOut]
    rise: RampOut | None = Field(description="The steepest.")
    fall: RampOut | None = Field(description="The steepest.")
    gaps: list[GapOut]
    equivalent: EquivalentOut | None
    undecided: list[str]
    compared: list[ComparedOut]
    earlier: list[EarlierOut]
    assumed: dict[str, Any]
    notes: dict[str, dict[str, Any]]


class CurveMark(Out):
    at: Utc
    minutes: float
    temperature_c: float
    series: str
    remark: str | None


class CurvePlan(Out):
    line: int
    do: str
    temperature: Amount


class CurveSeries(Out):
    name: str
    points: list[tuple[float, float]] = Field(description="Minutes since `start`, °C.")


class CookCurveOut(Out):
    """The curve as data: bulk arrays are JSON numbers."""

    batch: str
    start: Utc | None = Field(description="The first reading of the first series.")
    series: list[CurveSeries]
    marks: list[CurveMark] = Field(description="What someone read or remarked.")
    plan: list[CurvePlan] = Field(description="The temperatures of the sheet.")
    set_aside: int
