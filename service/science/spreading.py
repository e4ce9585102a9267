"""How far a volume goes on a surface, and how much a coat takes."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.ranges import above, number, one_of, positive
from service.science.results import Standing
from service.science.tables import rows

_THICKEST_UM = 2000
# Exact: 231 in3 to the US gallon, 144 in2 to the square foot, 2.54 cm to the inch.
_FT2_PER_US_GAL = Decimal("3.785411784") / Decimal("0.09290304")
_THEORY = "by volume solids alone; wood drinks part of the first coat"
_PRACTICE = "the loss is an estimate; wood drinks part of the first coat besides"


class SpreadingRate(NamedTuple):
    """How far a volume goes, and how far it would go without the loss."""

    spreading_m2_l: Decimal
    spreading_ft2_per_us_gal: Decimal
    without_loss_m2_l: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class Consumption(NamedTuple):
    """What a coat takes, and the part of it that is lost."""

    volume_ml: Decimal
    lost_ml: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


class UsualLoss(NamedTuple):
    """From where to where the loss of a way of application usually is."""

    lowest_percent: Decimal
    highest_percent: Decimal


def spreading_rate(
    volume_solids_percent_vol: Decimal,
    dry_um: Decimal,
    *,
    loss_percent: Decimal = Decimal(0),
    method: str | None = None,
) -> SpreadingRate:
    """Work out how far a litre or a US gallon goes.

    Parameters: volume_solids_percent_vol [% v/v, above 0 up to 100]; dry_um [µm, above 0 up to
    2000; of one coat]; loss_percent [%, 0 to below 100; of what is taken, 0 for the theoretical
    rate]; method [one of `methods()`] to compare the loss with what is usual, None for no
    comparison.
    Returns: the rate in both units, and a note where the loss is unusual for the method.
    Raises: OutOfRange for any of them.
    Source: volume balance, 10 VS / DFT; 231 in3 to the US gallon, 144 in2 to the ft2.

    >>> spreading_rate(Decimal(50), Decimal(25)).spreading_m2_l
    Decimal('20')
    """
    solids = above(volume_solids_percent_vol, 0, high=100, name="volume_solids_percent_vol")
    theoretical = 10 * solids / above(dry_um, 0, high=_THICKEST_UM, name="dry_um")
    rate = theoretical * _kept(loss_percent)
    standing, why = _standing(loss_percent)
    notes = _notes(loss_percent, method)
    return SpreadingRate(rate, rate * _FT2_PER_US_GAL, theoretical, standing, why, notes)


def consumption(
    area_m2: Decimal,
    dry_um: Decimal,
    *,
    volume_solids_percent_vol: Decimal,
    loss_percent: Decimal = Decimal(0),
    method: str | None = None,
) -> Consumption:
    """Work out how much a coat takes.

    Parameters: area_m2 [m2, above 0]; dry_um [µm, above 0 up to 2000; of one coat];
    volume_solids_percent_vol [% v/v, above 0 up to 100]; loss_percent [%, 0 to below 100; of
    what is taken]; method [one of `methods()`] to compare the loss with what is usual, None for
    no comparison.
    Returns: the volume, the part lost, and a note where the loss is unusual for the method.
    Raises: OutOfRange for any of them.
    Source: volume balance, area DFT / (VS (1 - loss)).

    >>> consumption(Decimal(2), Decimal(25), volume_solids_percent_vol=Decimal(50)).volume_ml
    Decimal('100')
    """
    area = positive(area_m2, "area_m2")
    rate = spreading_rate(
        volume_solids_percent_vol, dry_um, loss_percent=loss_percent, method=method
    )
    volume = 1000 * area / rate.spreading_m2_l
    return Consumption(volume, volume * loss_percent / 100, rate.standing, rate.why, rate.notes)


def methods() -> tuple[str, ...]:
    """List the ways of application whose usual loss is known.

    Parameters: none. Raises: nothing. Source: tables/usual_losses.csv.

    >>> methods()[0]
    'brush'
    """
    return tuple(_usual())


def usual_loss(method: str) -> UsualLoss:
    """Look up how much of what is taken is usually lost on application.

    Parameters: method [one of `methods()`].
    Returns: from where to where the loss usually is.
    Raises: OutOfRange for any other method.
    Source: tables/usual_losses.csv, common practice.

    >>> usual_loss("wiping").highest_percent
    Decimal('20')
    """
    return UsualLoss(*_usual()[one_of(method, methods(), name="method")])


def _kept(loss: Decimal) -> Decimal:
    if not 0 <= number(loss, "loss_percent") < 100:
        raise OutOfRange(
            f"the loss is {loss:.6g} %", "send a loss from 0 to below 100 %", field="loss_percent"
        )
    return (100 - loss) / 100


def _standing(loss: Decimal) -> tuple[Standing, str]:
    return (Standing.APPROXIMATE, _PRACTICE) if loss else (Standing.THEORETICAL, _THEORY)


def _notes(loss: Decimal, method: str | None) -> tuple[str, ...]:
    if method is None:
        return ()
    usual = usual_loss(method)
    if usual.lowest_percent <= loss <= usual.highest_percent:
        return ()
    range_ = f"{usual.lowest_percent} to {usual.highest_percent} %"
    return (f"a loss of {loss:f} % lies outside {range_}, usual for: {method}",)


@functools.cache
def _usual() -> dict[str, tuple[Decimal, Decimal]]:
    return {
        row["method"]: (Decimal(row["lowest_percent"]), Decimal(row["highest_percent"]))
        for row in rows("usual_losses.csv")
    }
