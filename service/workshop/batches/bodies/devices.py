"""How a device says which sending this is, and when it happened."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from service.web.fields import In, Instant, Mark, Out, Utc, refusal
from service.workshop.batches.bodies.cook_log import Clock as Clock

_SEQ = "Counted up by the device; the same again with the same values makes no second entry."
_AGE = "How long ago it happened, by the device; needs no clock that is right."
_SENT = "The device's clock as it sends: by it, `happened_at` is put right."
Seq = Annotated[int, Field(ge=0, lt=2**63, description=_SEQ)]
# An age rounded on the way may come out a little below zero.
Age = Annotated[Decimal, Field(ge=-60, le=10**9, description=_AGE)]


class TimedIn(In):
    """When it happened: now, an age, or what the clock showed."""

    age_s: Age | None = None
    happened_at: Instant | None = None


class DeviceIn(TimedIn):
    """An entry that may come from a device; one that is sent again is known by its number."""

    device_id: Mark | None = None
    device_seq: Seq | None = None
    sent_at: Instant | None = Field(default=None, description=_SENT)

    @model_validator(mode="after")
    def _both(self) -> "DeviceIn":
        if (self.device_id is None) != (self.device_seq is None):
            hint = "Send both, or neither."
            raise refusal("device-half-named", "A device and its number go together.", hint)
        if self.device_id is None and self.sent_at is not None:
            hint = "Send `device_id` and `device_seq` too, or leave `sent_at` out."
            wrong = "Only of a device the clock is put right."
            raise refusal("device-half-named", wrong, hint, below=("sent_at",))
        return self


class DeviceClockOut(Out):
    device: str
    behind_s: str = Field(description="How far behind; negative: ahead.")
    times_from: Literal["age_s", "sent_at"]
    measured_at: Utc
