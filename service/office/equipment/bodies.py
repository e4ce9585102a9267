"""Bodies of the equipment desk."""

from typing import Literal

from pydantic import Field

from service.web.fields import Amount, Code, Day, In, Mass, Out, Short, Utc, Volume, Written

Kind = Literal["kettle", "balance", "thermometer", "logger", "cup", "other"]


class EquipmentPatch(In):
    name: Short | None = None
    holds: Volume | None = Field(default=None, description="What a kettle holds to the brim.")
    reads_to: Mass | None = Field(default=None, description="One step of a balance's display.")
    capacity: Mass | None = Field(default=None, description="The most a balance can weigh.")
    calibrated_on: Day | None = None
    calibrated_until: Day | None = None
    archived: bool = False


class EquipmentIn(In):
    code: Code
    kind: Kind
    name: Short | None = None
    holds: Volume | None = Field(default=None, description="What a kettle holds to the brim.")
    reads_to: Mass | None = Field(default=None, description="One step of a balance's display.")
    capacity: Mass | None = Field(default=None, description="The most a balance can weigh.")
    calibrated_on: Day | None = None
    calibrated_until: Day | None = None


class EquipmentOut(Out):
    code: str
    kind: str
    name: str | None
    holds: Amount | None
    reads_to: Amount | None
    capacity: Amount | None
    calibrated_on: Day | None
    calibrated_until: Day | None
    created_at: Utc
    archived_at: Utc | None


class EquipmentMade(EquipmentOut, Written):
    pass
