"""Corrections of delivery notes."""

from typing import ClassVar

from pydantic import ConfigDict, Field

from service.web.corrections import CorrectionIn, ReplacementIn
from service.web.fields import Day, Mark, Short, Written
from service.workshop.deviations.bodies import Flag
from service.workshop.stock.bodies.receipts import ReceiptOut


class ReceivedReplacement(ReplacementIn):
    """What stood on the note of one lot; null where it says nothing of it after all."""

    lot: Mark
    supplier_lot: Short | None = Field(default=None, max_length=60)
    made_on: Day | None = None
    expires_on: Day | None = None
    retest_on: Day | None = None


class ReceiptReplacement(ReplacementIn):
    model_config = ConfigDict(validate_by_name=True, validate_by_alias=True)

    needed: ClassVar[frozenset[str]] = frozenset({"from_", "on", "lines"})

    from_: Short | None = Field(default=None, alias="from", description="Who supplied it.")
    document: Short | None = None
    on: Day | None = None
    lines: list[ReceivedReplacement] | None = Field(
        default=None,
        min_length=1,
        max_length=200,
        description="By lot. Amounts and prices are corrected at the lot's movement.",
    )


class ReceiptCorrection(CorrectionIn):
    """Voided, nothing of it came: each lot's ledger gives back what it says came in."""

    replaces: ReceiptReplacement | None = None


class ReceiptCorrected(ReceiptOut, Written):
    flags: list[Flag]
