"""What a version is good for and what it takes: proved bands, and work by hand."""

from typing import Annotated, Any

from pydantic import AfterValidator, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from service.science import units
from service.science.units import Quantity
from service.web.fields import Amount, Code, In, Mass, Out, read_quantity, refusal, refusal_below
from service.workshop.materials.bodies import check_property
from service.workshop.materials.rules import figure_problem, properties
from service.workshop.recipes.bodies.amounts import Labour
from service.workshop.recipes.rules import MOST_LINES


class ProvedIn(In):
    """Between which values of a material's property the recipe was proved to work."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    material: Code
    property: Annotated[str, AfterValidator(check_property), Field(max_length=30)]
    from_: Any = Field(alias="from", description='"155 mg KOH/g"')
    to: Any = Field(description='"170 mg KOH/g"')

    @model_validator(mode="after")
    def _a_band(self) -> "ProvedIn":
        low, high = self.band()
        if units.canonical(low) > units.canonical(high):
            wrong = f"{low} lies above {high}."
            raise refusal("band-reversed", wrong, "Send the lower value in `from`.", below=("to",))
        return self

    def band(self) -> tuple[Quantity, Quantity]:
        return self._read("from", self.from_), self._read("to", self.to)

    def _read(self, name: str, value: Any) -> Quantity:
        known = properties()[self.property]
        try:
            found = read_quantity(value, known.dimension, None)
        except PydanticCustomError as error:
            raise refusal_below(error, name) from None
        if wrong := figure_problem(known, found):
            raise refusal("out-of-range", wrong, below=(name,))
        return found


def _each_once(bands: list[ProvedIn]) -> list[ProvedIn]:
    seen: set[tuple[str, str]] = set()
    for place, band in enumerate(bands):
        if (pair := (band.material, band.property)) in seen:
            wrong = f"The {band.property} of {band.material} stands here twice."
            raise refusal("band-twice", wrong, "Send one band for it.", below=(place,))
        seen.add(pair)
    return bands


Proved = Annotated[list[ProvedIn], AfterValidator(_each_once), Field(max_length=MOST_LINES)]


class ProvedOut(Out):
    material: str
    property: str
    label: str
    from_: Amount = Field(alias="from")
    to: Amount


class LabourIn(In):
    """Work by hand for so much of what comes out."""

    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    time: Labour
    for_: Mass = Field(alias="for")


class LabourOut(Out):
    time: Amount
    for_: Amount = Field(alias="for")
