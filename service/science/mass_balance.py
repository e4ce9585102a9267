"""What went in beside what came out: balance with uncertainty, yield, and the usual losses."""

import functools
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.ranges import at_least, count, one_of, positive, within
from service.science.results import Standing
from service.science.tables import rows

_TWICE = Decimal(2)
_LOSS_WITHOUT_A_REASON_PERCENT = 5
_CLOSED = "closed"
_LOSS = "loss not explained"
_GAIN = "gain not explained"


class Weighed(NamedTuple):
    """One mass of a balance with its standard uncertainty.

    Fields: mass_g [g, above 0]; uncertainty_g [g, 0 or more; standard uncertainty, left out: 0].
    """

    mass_g: Decimal
    uncertainty_g: Decimal = Decimal(0)


class MassBalance(NamedTuple):
    """What is missing (below 0: what is too much), judged by its uncertainty."""

    difference_g: Decimal
    closed: bool
    verdict: str
    standard_uncertainty_g: Decimal
    expanded_uncertainty_g: Decimal
    charged_g: Decimal
    taken_out_g: Decimal
    losses_g: Decimal
    gains_g: Decimal
    difference_percent: Decimal
    notes: tuple[str, ...]


class BatchYield(NamedTuple):
    """What came out in percent of the charge, and what did not."""

    yield_percent: Decimal
    loss_g: Decimal
    loss_percent: Decimal
    notes: tuple[str, ...]


class UsualLoss(NamedTuple):
    """The loss that a process usually has, as a range."""

    low_percent: Decimal
    high_percent: Decimal
    standing: Standing
    why: str


def mass_balance(
    charged: Sequence[Weighed],
    taken_out: Sequence[Weighed],
    *,
    losses: Sequence[Weighed] | None = None,
    gains: Sequence[Weighed] | None = None,
    coverage: Decimal = _TWICE,
) -> MassBalance:
    """Set what was charged and gained against what came out and was lost.

    Parameters: charged [list of `Weighed`; all that went in]; taken_out [list of `Weighed`; all
    that came out]; losses [list of `Weighed`; declared: water, fumes, straining; None: none];
    gains [list of `Weighed`; declared: oxygen taken up, water of a wet cake; None: none];
    coverage [1, 1-4; k, 2 for about 95 %].
    Returns: charged and gains less taken out and losses, its uncertainty, and whether it is within
    k times that.
    Raises: NotApplicable for an empty list, OutOfRange for a number.
    Source: JCGM 100 (GUM) 5.1.2, root of the sum of squares (from memory); the verdicts are common
    practice.

    >>> mass_balance([Weighed(Decimal(1500), Decimal("0.7"))],
    ...              [Weighed(Decimal(1499), Decimal(1))]).verdict
    'closed'
    """
    within(coverage, 1, high=4, name="coverage")
    lost, gained = losses or (), gains or ()
    count(charged, 1, name="charged")
    count(taken_out, 1, name="taken_out")
    into, out = _sum(charged, "charged"), _sum(taken_out, "taken_out")
    away, up = _sum(lost, "losses"), _sum(gained, "gains")
    squares = (one.uncertainty_g**2 for one in (*charged, *taken_out, *lost, *gained))
    uncertainty = sum(squares, Decimal(0)).sqrt()
    difference = into + up - out - away
    expanded = coverage * uncertainty
    verdict = _verdict(difference, expanded)
    percent = 100 * difference / into
    return MassBalance(
        difference_g=difference,
        closed=verdict == _CLOSED,
        verdict=verdict,
        standard_uncertainty_g=uncertainty,
        expanded_uncertainty_g=expanded,
        charged_g=into,
        taken_out_g=out,
        losses_g=away,
        gains_g=up,
        difference_percent=percent,
        notes=tuple(_balance_notes(verdict, percent, uncertainty)),
    )


def _sum(entries: Sequence[Weighed], name: str) -> Decimal:
    count(entries, 0, name=name)
    for place, one in enumerate(entries):
        positive(one.mass_g, f"{name}/{place}/mass_g")
        at_least(one.uncertainty_g, 0, name=f"{name}/{place}/uncertainty_g")
    return sum((one.mass_g for one in entries), Decimal(0))


def _verdict(difference: Decimal, expanded: Decimal) -> str:
    if abs(difference) <= expanded:
        return _CLOSED
    return _LOSS if difference > 0 else _GAIN


def _balance_notes(verdict: str, percent: Decimal, uncertainty: Decimal) -> list[str]:
    notes = []
    if verdict == _GAIN:
        notes.append(
            "more came out than went in: declare what was taken up (oxygen, water), or weigh again"
        )
    if percent > _LOSS_WITHOUT_A_REASON_PERCENT:
        notes.append(f"more than {_LOSS_WITHOUT_A_REASON_PERCENT} % is missing: give the reason")
    if not uncertainty:
        notes.append("no uncertainty was sent, so only an exact balance closes")
    return notes


def batch_yield(charged_g: Decimal, taken_out_g: Decimal) -> BatchYield:
    """Give what came out in percent of what went in.

    Parameters: charged_g [g, above 0; all that went in]; taken_out_g [g, above 0; what came out].
    Returns: the yield, and the loss, which is below 0 where more came out than went in.
    Raises: OutOfRange for either.
    Source: common practice, 100 out / in.

    >>> round(batch_yield(Decimal(1500), Decimal(1462)).yield_percent, 4)
    Decimal('97.4667')
    """
    positive(charged_g, "charged_g")
    positive(taken_out_g, "taken_out_g")
    loss = charged_g - taken_out_g
    notes = () if loss >= 0 else ("more came out than went in: say what was taken up",)
    return BatchYield(
        100 * taken_out_g / charged_g,
        loss,
        100 * loss / charged_g,
        notes,
    )


def loss_processes() -> tuple[str, ...]:
    """List the processes with a usual loss.

    Parameters: none. Raises: nothing. Returns: the processes. Source: tables/process_losses.csv.

    >>> "straining" in loss_processes()
    True
    """
    return tuple(_losses())


def usual_loss(process: str) -> UsualLoss:
    """Look the loss up that a process usually has.

    Parameters: process [one of `loss_processes()`].
    Returns: the range in percent of the charge.
    Raises: OutOfRange for any other process.
    Source: common practice of varnish makers (from memory).

    >>> usual_loss("copal running").high_percent
    Decimal('30')
    """
    row = _losses()[one_of(process, loss_processes(), name="process")]
    return UsualLoss(
        Decimal(row["low_percent"]),
        Decimal(row["high_percent"]),
        Standing.CONVENTION,
        "usual in the trade; the losses of your own last batches are better",
    )


@functools.cache
def _losses() -> dict[str, dict[str, str]]:
    return {row["process"]: row for row in rows("process_losses.csv")}
