"""What is read at a balance: one number, or gross, tare and net."""

from typing import Annotated, Any

from pydantic import AfterValidator, Field

from service.science.units import Quantity
from service.web.amounts import whole
from service.web.fields import In, Mass, amount, refusal
from service.workshop.batches.rules.netting import Read


def _weighs(value: Quantity) -> Quantity:
    """The ledger counts milligrams; what rounds to none of them weighs nothing."""
    if not whole(value):
        raise refusal("out-of-range", f"{value} is less than a milligram.")
    return value


_GRAMS: Any = amount("mass", unit="g", low="0", high="1000000000")
Grams: Any = Annotated[_GRAMS, AfterValidator(_weighs)]
Tare: Any = amount("mass", unit="g", low="0.0", high="1000000000")
Weight: Any = Annotated[Mass, AfterValidator(_weighs)]


class BalanceIn(In):
    """Readings with the vessel on; two of the three, or all three where they agree."""

    gross: Grams | None = Field(default=None, description="The vessel with what is in it.")
    tare: Tare | None = Field(default=None, description="The vessel alone.")
    net: Grams | None = Field(default=None, description="Beside `gross` or `tare`.")

    def read(self, alone: Quantity | None) -> Read:
        """What was read, where a single number says the net."""
        return Read(alone if self.net is None else self.net, self.gross, self.tare)

    def check_said(self, name: str, alone: Quantity | None) -> None:
        """Raises a payload error unless there is the one number, or two readings."""
        there = sum(each is not None for each in (self.gross, self.tare, self.net))
        if alone is not None and there:
            wrong = f"What went in stands twice: as `{name}` and as gross, tare or net."
            raise refusal("one-of-two", wrong, f"Leave `{name}` out, or the others.", below=(name,))
        if alone is None and there < 2:
            hint = f"Send `{name}`, or two of gross, tare and net."
            raise refusal("two-of-three", "It cannot be told how much went in.", hint)
