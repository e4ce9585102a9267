"""What must be measured of a received lot before it is released."""

from typing import Any

from pydantic import Field

from service.web.fields import Figure, Out


class AskedFor(Out):
    """One property that the material asks for."""

    property: str
    label: str
    certificate: Figure | None = Field(description="What the supplier states of the lot.")
    measured: Figure | None = Field(description="What was measured of the lot here.")


class AcceptanceOut(Out):
    lot: str
    material: str
    quality: str
    asks: list[AskedFor] = Field(description="Empty where the material asks for nothing.")
    missing: list[str] = Field(description="Properties that are still to be measured.")
    measured_by: str = Field(description="The call that records a reading.")
    released_by: str = Field(description="The call that releases it.")
    notes: dict[str, dict[str, Any]]
