"""What happens to a lot in its vessels: opened, looked at, skinned, poured over."""

from typing import Any

from pydantic import Field, field_validator, model_validator

from service.office.attachments.bodies import Attached, AttachmentName
from service.web.corrections import CorrectionIn, ReplacementIn, Traced
from service.web.fields import Code, Day, In, Instant, Out, Paragraph, Short, Utc, Written, refusal
from service.workshop.deviations.bodies import Flag
from service.workshop.stock.bodies.amounts import Held, StockAmount

FACETS = ("opened", "saw", "skin_removed", "vessels", "photo", "certificate")
_SEND = f"Send any of: {', '.join(FACETS)}."
NOTHING_SAID = "The entry says nothing of the lot."


class VesselIn(In):
    """What stands in one vessel."""

    vessel: Short = Field(description="As it is called, or the code of a piece of equipment.")
    amount: StockAmount


def _each_once(vessels: list[VesselIn] | None) -> list[VesselIn] | None:
    seen: set[str] = set()
    for place, each in enumerate(vessels or ()):
        if (name := each.vessel.casefold()) in seen:
            wrong = f"{each.vessel} stands here twice."
            hint = "Add its amounts up, or tell the two vessels apart."
            raise refusal("vessel-twice", wrong, hint, below=(place, "vessel"))
        seen.add(name)
    return vessels


class LifeIn(In):
    """One look at a lot: whatever of it was done or seen."""

    opened: bool = Field(default=False, description="Whether a closed vessel of it was opened.")
    saw: Paragraph | None = Field(default=None, description="Its condition, in words.")
    skin_removed: StockAmount | None = Field(
        default=None, description="Skin or crust taken off; it leaves the ledger."
    )
    vessels: list[VesselIn] | None = Field(
        default=None, min_length=1, max_length=50, description="What is left in which vessel."
    )
    photo: AttachmentName | None = Field(default=None, description="May be sent later, or never.")
    certificate: AttachmentName | None = Field(
        default=None, description="One that came after the goods; its file may be sent later."
    )
    by: Code | None = None
    happened_at: Instant | None = None

    _names = field_validator("vessels")(_each_once)

    @model_validator(mode="after")
    def _something(self) -> "LifeIn":
        if not any(getattr(self, name) for name in FACETS):
            raise refusal("nothing-said", NOTHING_SAID, _SEND)
        return self


class LifeValues(ReplacementIn):
    """What the entry should have said; what is absent stays, what is null was not so."""

    opened: bool = False
    saw: Paragraph | None = None
    skin_removed: StockAmount | None = None
    vessels: list[VesselIn] | None = Field(default=None, min_length=1, max_length=50)
    photo: AttachmentName | None = None
    certificate: AttachmentName | None = None

    _names = field_validator("vessels")(_each_once)


class LifeCorrection(CorrectionIn):
    replaces: LifeValues | None = None


class VesselOut(Out):
    vessel: str
    equipment: str | None = Field(description="Its code, where the vessel is a piece of equipment.")
    amount: Held


class LifeOut(Traced):
    entry: int
    lot: str
    opened: bool
    saw: str | None
    skin_removed: Held | None
    movement: str | None = Field(description="The line of the ledger that took the skin off.")
    vessels: list[VesselOut] | None
    photo: Attached | None
    certificate: Attached | None = Field(description="Null for keys without the scope write.")
    by: str | None
    happened_at: Utc
    entered_at: Utc


class LifeMade(LifeOut, Written):
    left: Held
    flags: list[Flag]


class VesselsNow(Out):
    """What stood where when it was said last, against the ledger."""

    at: Utc
    vessels: list[VesselOut]
    together: Held
    ledger: Held = Field(description="What the ledger said at that instant.")
    differs_by: Held = Field(description="Below zero: the vessels held less than the ledger.")
    moved_since: Held = Field(description="What the ledger moved after that.")


class LifeNow(Out):
    """A lot as it was seen last."""

    opened_on: Day | None
    saw: str | None
    saw_at: Utc | None
    skin_removed: Held = Field(description="All of it together.")
    vessels: VesselsNow | None


def sent(values: LifeIn | LifeValues) -> dict[str, Any]:
    """The facets that a body states, those sent as null among them."""
    return {name: getattr(values, name) for name in values.model_fields_set & set(FACETS)}
