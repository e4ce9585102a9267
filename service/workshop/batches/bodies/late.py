"""Bodies of late entries."""

from typing import Literal

from pydantic import Field

from service.web.fields import Out, Utc


class LateEntryOut(Out):
    batch: str
    kind: str = Field(description="Which list of the batch holds it.")
    entry: int | None = Field(description="Null for many that were written at once.")
    count: int
    late: bool = Field(description="It happened before the batch ended; else after it.")
    happened_at: Utc
    entered_at: Utc
    deviation: str = Field(description="Concluding it accepts the entry.")
    judged: Literal["open", "accepted", "voided"]
