"""The amounts that recipes are written with."""

from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field

from service.science import units
from service.science.units import Quantity
from service.store.columns import nine_places
from service.web.fields import amount, number, refusal

FINEST = 9  # decimals that a row keeps
_LEAST = "0.000000001"


def as_kept(quantity: Quantity, unit: str | None = None) -> Decimal:
    """A value as a row gives it back: in this unit, else its canonical one, to nine places."""
    value = units.canonical(quantity) if unit is None else units.convert(quantity, unit)
    return nine_places(value).normalize() + 0


def _kept(value: Decimal) -> Decimal:
    exponent = value.as_tuple().exponent
    if isinstance(exponent, int) and exponent < -FINEST:
        raise refusal("too-fine", f"At most {FINEST} digits after the point are kept.")
    return value


Parts: Any = Annotated[number(_LEAST, "1000000000"), AfterValidator(_kept)]
Percent: Any = Annotated[number(_LEAST, "100"), AfterValidator(_kept)]
Duration: Any = amount("time", unit="min", low="1", high="31536000")
Lasting: Any = amount("time", unit="min", low="1", high="315360000")  # oils mature for years
Labour: Any = amount("time", unit="h", low="1", high="31536000")
Ramp: Any = amount("heating-rate", unit="K/min", low="0.01", high="100")
Share: Any = amount("fraction", unit="%", low=_LEAST, high="100")
PerBinder: Any = amount("fraction", unit="%", low=_LEAST, high="1000")
Tolerance: Any = amount("fraction", unit="%", low=_LEAST, high="20")
MadeUp: Any = amount("volume", low="1", high="1000000000")
Cut: Any = amount("density", unit="lb/US gal", low="0.01", high="2")


def _excess(value: Quantity) -> Quantity:
    if not 0 <= units.canonical(value) <= 100:
        raise refusal("out-of-range", f"{value} cannot be right: 0 to 100 % is taken.")
    return value


Excess: Any = Annotated[amount("fraction", unit="%", low=None, high=None), AfterValidator(_excess)]


def _by_volume(value: Any) -> Any:
    """A strength says in its name what it is a percentage of, so that % alone is enough."""
    if isinstance(value, str) and value.rstrip().endswith("%"):
        return f"{value.rstrip()[:-1]} % v/v"
    if isinstance(value, dict) and value.get("unit") == "%":
        return {**value, "unit": "% v/v"}
    return value


Strength: Any = Annotated[
    amount("volume-fraction", unit="% v/v", low="1", high="100"), BeforeValidator(_by_volume)
]


def _loss(value: Quantity) -> Quantity:
    if not -20 <= units.canonical(value) <= 60:
        hint = "Sun-thickened oil gains up to 20 %, a long cook loses up to 60 %."
        raise refusal("out-of-range", f"{value} cannot be right for a loss.", hint)
    return value


def _stage_loss(value: Quantity) -> Quantity:
    if not -50 <= units.canonical(value) <= 99:
        hint = "At most 99 % is lost, and at most 50 % taken up."
        raise refusal("out-of-range", f"{value} cannot be right for a loss.", hint)
    return value


Loss: Any = Annotated[
    amount("fraction", unit="%", low=None, high=None),
    AfterValidator(_loss),
    Field(description="Of what is charged; a gain is negative."),
]
StageLoss: Any = Annotated[
    amount("fraction", unit="%", low=None, high=None),
    AfterValidator(_stage_loss),
    Field(description="Of all that is in the pot; a gain is negative."),
]
