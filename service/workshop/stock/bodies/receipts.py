"""Delivery notes."""

from collections.abc import Mapping
from typing import Any

from pydantic import ConfigDict, Field, field_validator, model_validator
from pydantic_core import PydanticCustomError

from service.office.attachments.bodies import AttachmentName
from service.web.fields import Code, Day, In, Out, Short, Utc, Written, refusal, refusal_below
from service.workshop.deviations.bodies import Flag
from service.workshop.materials.bodies import Figures, FigureValue
from service.workshop.stock.bodies.amounts import FOR_ALL, Price, StockAmount, cents
from service.workshop.stock.bodies.lots import LotOut


class ReceiptLine(In):
    """One kind of goods on a delivery note; it becomes one lot."""

    material: Code
    amount: StockAmount
    price: Price | None = Field(default=None, description=FOR_ALL)
    lot: Code | None = Field(default=None, description="Your own number; where absent, the next.")
    supplier_lot: Short | None = Field(default=None, max_length=60)
    certificate: AttachmentName | None = Field(
        default=None, description="Its file; may be sent later, or never."
    )
    made_on: Day | None = None
    expires_on: Day | None = None
    retest_on: Day | None = None
    density: FigureValue | None = Field(
        default=None, description="For a volume; short for `figures.density`."
    )
    figures: Figures = Field(default={}, description="What the certificate states, by property.")

    _money = field_validator("price")(cents)

    @model_validator(mode="after")
    def _one_density(self) -> "ReceiptLine":
        if self.density is not None:
            if "density" in self.figures:
                wrong = "The density is sent twice: on the line and in its figures."
                raise refusal("one-of-two", wrong, "Leave one of them out.")
            try:
                self.density.read("density")
            except PydanticCustomError as error:
                raise refusal_below(error, "density") from None
        return self

    def all_figures(self) -> dict[str, FigureValue]:
        own = {} if self.density is None else {"density": self.density}
        return {**self.figures, **own}


class ReceiptIn(In):
    """A delivery note with its lines."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    from_: Short = Field(alias="from", description="Who supplied it.")
    on: Day | None = Field(default=None, description="Where absent, today.")
    document: Short | None = Field(default=None, description="Kind and number of the note.")
    by: Code | None = None
    lines: list[ReceiptLine] = Field(min_length=1, max_length=200)


def lines_again(wanted: ReceiptIn, changes: Mapping[int, Mapping[str, Any]]) -> list[Any]:
    """The lines as they were sent but for changes by place (None leaves a field out): a merge
    patch replaces a list as a whole."""
    lines = wanted.model_dump(mode="json", by_alias=True, exclude_unset=True)["lines"]
    changed = [{**line, **changes.get(place, {})} for place, line in enumerate(lines)]
    return [{n: v for n, v in line.items() if v is not None} for line in changed]


class ReceiptOut(Out):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    receipt: str
    from_: str = Field(alias="from")
    document: str | None
    on: Day
    by: str | None
    entered_at: Utc
    lots: list[LotOut] = Field(description="None where the note was corrected: the newer has them.")
    corrects: str | None
    corrected_by: str | None
    void: bool
    reason: str | None


class ReceiptMade(ReceiptOut, Written):
    flags: list[Flag] = Field(description="Lots that were past their day when they came.")
