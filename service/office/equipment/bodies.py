"""Bodies of the equipment desk."""

from typing import Any, Literal

from pydantic import Field

from service.web.fields import (
    Amount,
    Code,
    Day,
    In,
    Mass,
    Out,
    Short,
    Utc,
    Volume,
    Written,
    amount,
)

Kind = Literal["kettle", "balance", "thermometer", "logger", "cup", "other"]
Power: Any = amount("power", low="1", high="100000")
Step: Any = amount("mass", low="1", high="1000000000")  # mg: the finest that weighings are kept to
Efficiency: Any = amount("fraction", unit="%", low="5", high="100")
_POWER = "What a kettle's heating draws."
_EFFICIENCY = "How much of a kettle's power reaches the charge; left out where nobody knows."


class EquipmentPatch(In):
    name: Short | None = None
    holds: Volume | None = Field(default=None, description="What a kettle holds to the brim.")
    reads_to: Step | None = Field(
        default=None, description="One step of a balance's display, 1 mg or more."
    )
    capacity: Mass | None = Field(default=None, description="The most a balance can weigh.")
    power: Power | None = Field(default=None, description=_POWER)
    efficiency: Efficiency | None = Field(default=None, description=_EFFICIENCY)
    calibrated_on: Day | None = None
    calibrated_until: Day | None = None
    archived: bool = False


class EquipmentIn(In):
    code: Code
    kind: Kind
    name: Short | None = None
    holds: Volume | None = Field(default=None, description="What a kettle holds to the brim.")
    reads_to: Step | None = Field(
        default=None, description="One step of a balance's display, 1 mg or more."
    )
    capacity: Mass | None = Field(default=None, description="The most a balance can weigh.")
    power: Power | None = Field(default=None, description=_POWER)
    efficiency: Efficiency | None = Field(default=None, description=_EFFICIENCY)
    calibrated_on: Day | None = None
    calibrated_until: Day | None = None


class EquipmentOut(Out):
    code: str
    kind: str
    name: str | None
    holds: Amount | None
    reads_to: Amount | None
    capacity: Amount | None
    power: Amount | None
    efficiency: Amount | None
    calibrated_on: Day | None
    calibrated_until: Day | None
    created_at: Utc
    archived_at: Utc | None


class EquipmentMade(EquipmentOut, Written):
    pass
