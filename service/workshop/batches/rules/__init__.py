"""What batches may be: refusals, states, tolerances and verdicts, the pour, the probe: pure."""

import calendar
import functools
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from typing import Literal

from service.errors import Conflict, Invalid, NotFound
from service.science import fire
from service.science.errors import ScienceError
from service.science.rounding import plain, round_half_even
from service.science.tables import rows
from service.workshop.scalings.rules import POUR_MARGIN_K as POUR_MARGIN_K
from service.workshop.scalings.rules import STRAIN as STRAIN
from service.workshop.scalings.rules import THIN as THIN
from service.workshop.scalings.rules import TOLERANCE_PERCENT as TOLERANCE_PERCENT
from service.workshop.scalings.rules import TOLERANCE_RULE as TOLERANCE_RULE
from service.workshop.scalings.rules import PourTooHot as PourTooHot
from service.workshop.scalings.rules import natural_time as natural_time
from service.workshop.scalings.rules import pour_stage as pour_stage
from service.workshop.scalings.rules import sheet_order as sheet_order
from service.workshop.scalings.rules import tolerance as tolerance
from service.workshop.scalings.rules import yield_stage as yield_stage

# How a cook point was entered: without a batch, so it may join one later; by a logger's file.
FROM_KETTLE = "kettle"
FROM_FILE = "file"  # of a batch that was named, so its points join no other
State = Literal["planned", "running", "held", "complete", "aborted"]
Verdict = Literal["within", "under", "over", "none"]

MOVES: Mapping[str, tuple[str, ...]] = {
    "planned": ("running", "complete", "aborted"),
    "running": ("held", "complete", "aborted"),
    "held": ("running", "complete", "aborted"),
    "complete": (),
    "aborted": (),
}
ENDED = frozenset({"complete", "aborted"})

COLDEST_C, HOTTEST_C = Decimal(-20), Decimal(400)  # what a kettle probe of the trade can see
LEAST_YIELD_PERCENT = 95  # below it completion asks why (common practice: a loss over 5 %)
EARLIER_COOKS = 5  # with how many a cook is compared where nothing is said
ETHANOL_CAS = "64-17-5"
BESIDE_THE_PLAN = 0  # the line number of what was never planned


class UnknownBatch(NotFound):
    slug = "batch-unknown"
    title = "There is no such batch"


class UnknownBatchLine(NotFound):
    slug = "batch-line-unknown"
    title = "The batch sheet has no such line"


class UnknownBatchStage(NotFound):
    slug = "batch-stage-unknown"
    title = "The batch has no such stage"
    about = "Stages are numbered as they are begun: GET /v1/batches/{code}/stages lists them."


class StageEnded(Conflict):
    slug = "stage-ended"
    title = "This stage has ended already"
    about = "It ends once. Correct its end where that was wrong; what else happened may be entered."


class NothingToCorrect(NotFound):
    slug = "nothing-to-correct"
    title = "Nothing stands at this line"
    about = "Only what was entered and was not voided can be corrected; enter it instead."


class WrongMaterial(Invalid):
    slug = "wrong-material"
    title = "This lot is not what the line asks for"
    about = (
        "A lot of another material was named. If the pen slipped, name the right lot; if it "
        "really went in, say `substitute: true`: it is kept as it happened and opens a deviation."
    )


class BatchState(Conflict):
    slug = "batch-state"
    title = "The batch's state does not lead there"
    about = (
        "A batch goes from planned to running; between running and held; and ends complete or "
        "aborted, which lead nowhere."
    )


class MoveKept(Conflict):
    slug = "move-kept"
    title = "This move of the batch stays"
    about = (
        "Only the last move is taken back, and only while nothing follows from it: a batch that "
        "was weighed into has begun, and one that made a lot is complete. What is wrong with these "
        "is corrected where it was entered; the time of any move is corrected here."
    )


class YieldMissing(Invalid):
    slug = "yield-missing"
    title = "A batch is complete only with its yield"
    about = "Weigh what came out and send it as `yield`; the lot is made with that amount."


class PageKnown(Conflict):
    slug = "page-known"
    title = "Exactly this page was entered before"
    about = (
        "The same page sent twice would weigh everything in twice. If something is to be added, "
        "send only that; if something was wrong, correct its line; a photo that was missing is "
        "added as a correction of the page."
    )


class DeviceSeqUsed(Invalid):
    slug = "device-seq-used"
    title = "The device used this number for something else"
    about = (
        "Sent again with the same values, a number of a device is answered with the entry that it "
        "made; with other values it would change the record in silence. Give what is new the next "
        "number, or correct the entry that stands."
    )


class LoggerFile(Invalid):
    slug = "logger-file"
    title = "The logger's file cannot be read as it was stated"
    about = (
        "Rows and cells are named as `#row=12`, the first row being 1. Where something else can be "
        "stated, `remedies` hold it: `send.query` is a merge patch on the query parameters; the "
        "file itself stays as it is. Nothing was written."
    )


class SeveralEntries(Invalid):
    slug = "several-entries"
    title = "Several entries stand at this line"
    about = "Say which one is meant: `entry` takes the number shown in the batch's weighings."


@functools.cache
def _dangers() -> dict[str, int]:
    return {row["rule"]: int(row["danger"]) for row in rows("caution_rules.csv")}


def danger(rule: str) -> int:
    """How dangerous the case behind a caution is, 1 the most; a rule without a rank comes last."""
    return _dangers().get(rule, len(_dangers()) + 1)


def verdict(total_mg: int, target_mg: int, tolerance_mg: int) -> Verdict:
    """How the sum of a line's weighings lies to its target."""
    if abs(total_mg - target_mg) <= tolerance_mg:
        return "within"
    return "under" if total_mg < target_mg else "over"


@dataclass(frozen=True, slots=True)
class Solvent:
    """What is known of a solvent to be poured, with the numbers of the figures."""

    material: str
    boiling_c: Decimal
    boiling_figure: str
    autoignition_c: Decimal | None = None
    autoignition_figure: str | None = None
    ethanol: bool = False


@dataclass(frozen=True, slots=True)
class Pour:
    """How hot the varnish may be planned to be at the pour: the limit, and what sets it."""

    limit_c: Decimal
    figure: str

    @property
    def planned_c(self) -> Decimal:
        return self.limit_c - POUR_MARGIN_K


def pour(solvent: Solvent) -> Pour | None:
    """The pour of one solvent, or None where its figures say nothing of use."""
    try:
        found = fire.pour_limit(solvent.boiling_c, solvent.autoignition_c, ethanol=solvent.ethanol)
    except ScienceError:
        return None
    by_fire = found.limit_c == found.by_autoignition_c
    figure = solvent.autoignition_figure if by_fire else None
    return Pour(found.limit_c, figure or solvent.boiling_figure)


def pour_reason(label: str, value_c: Decimal, planned_c: Decimal) -> str:
    """How a planned pour follows from the figure that set it, in words."""
    for below in (fire.BELOW_BOILING_K, fire.BELOW_AUTOIGNITION_K):
        if planned_c == value_c - below - POUR_MARGIN_K:
            what = label[:1].lower() + label[1:]
            return f"{what} {plain(value_c)} °C less {below} K, less {POUR_MARGIN_K} K"
    return f"ethanol at {fire.HOTTEST_FOR_ETHANOL_C} °C at most, less {POUR_MARGIN_K} K"


def temperature_problem(celsius: Decimal) -> str | None:
    """Why a kettle cannot have had this temperature, or None."""
    if celsius.is_nan():
        return "the probe gave no number"
    if COLDEST_C <= celsius <= HOTTEST_C:
        return None
    # Written out, 1e999999 would fill the memory.
    text = f"{celsius:f}" if abs(celsius.adjusted()) < 12 else f"{celsius:.2E}"
    return f"{text} °C is beyond this probe ({COLDEST_C} to {HOTTEST_C} °C)"


def probe_reading(cell: object) -> tuple[Decimal | None, str | None]:
    """A device's temperature to a thousandth, or why it cannot be one."""
    if cell is None or isinstance(cell, bool):
        return None, "the probe gave nothing"
    try:
        celsius = cell if isinstance(cell, Decimal) else Decimal(str(cell).strip())
    except InvalidOperation:
        return None, "the probe gave no number"
    if wrong := temperature_problem(celsius):
        return None, wrong[:200]
    return celsius.quantize(Decimal("0.001")).normalize() + 0, None


def filling(makes_ul: Decimal, charged_mg: int, makes_mg: int, holds_ul: int) -> Fraction:
    """The share of a kettle that a charge takes, as dense as what comes out."""
    return Fraction(makes_ul) * charged_mg / makes_mg / holds_ul


def loss_percent(charged_mg: int, out_mg: int) -> Decimal:
    """What a batch lost, in percent of what was weighed in, to a hundredth; a gain is below 0."""
    lost = 100 * Fraction(charged_mg - out_mg, charged_mg)
    return round_half_even(lost, Decimal("0.01"))


def loss_method(batch: str) -> str:
    """How the loss of a version was measured; one batch has one such figure."""
    return f"yield of batch {batch} over what was weighed in"


def read_after(stage: str | None, method: str | None) -> str | None:
    """The method of a reading taken at the end of a stage, which it names first."""
    if stage is None:
        return method
    return f"after {stage}" if method is None else f"after {stage}: {method}"


def yield_percent(amount_mg: int, theory_mg: int) -> Decimal:
    """What came out, in percent of what should have, to a tenth."""
    return round(Decimal(100 * amount_mg) / Decimal(theory_mg), 1)


def months_later(day: date, months: int) -> date:
    """The same day so many months later, or the last one of a shorter month."""
    years, month = divmod(day.month - 1 + months, 12)
    last = calendar.monthrange(day.year + years, month + 1)[1]
    return date(day.year + years, month + 1, min(day.day, last))
