"""Bodies of what comes out of a version, and of what leaves on the way."""

from typing import Literal

from pydantic import Field

from service.web.fields import Amount, Basis, Out


class LeftOut(Out):
    """What leaves the pot at a stage; below 0 it comes in."""

    stage: str
    cause: str
    share: Amount = Field(description="Of all that is charged.")
    basis: Literal["calculated", "declared"]


class PortionOut(Out):
    """One component of what comes out, intermediates taken apart."""

    component: str = Field(description="The material's code, or a name of what a reaction made.")
    name: str
    family: str | None
    share: Amount = Field(description="By mass, rounded to four digits; the exact ones are 1.")
    basis: Basis
    from_: list[str] = Field(alias="from", description="The materials weighed in for it.")
    note: str | None = Field(description="Name of an entry in `notes`.")
