"""The metal that a resinate or a drier holds, found by burning it to its oxide."""

import functools
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.formulas import metal_factor
from service.science.ranges import above, at_least, one_of, positive
from service.science.results import Standing
from service.science.tables import rows

# More than this above the metal charged is more than two weighings can be wrong by.
_SLACK = Decimal("1.02")
_PURE_OXIDE = "takes the ash for pure oxide"


class MetalFound(NamedTuple):
    """The metal in a sample, its ash, and the factor from ash to metal."""

    metal_percent: Decimal
    ash_percent: Decimal
    factor: Decimal
    standing: Standing
    why: str
    notes: tuple[str, ...]


def ash_oxides() -> tuple[str, ...]:
    """List the oxides that a metal soap burns to.

    Parameters: none. Raises: nothing. Returns: their formulas. Source: tables/ash_oxides.csv.

    >>> "ZnO" in ash_oxides()
    True
    """
    return tuple(_metals())


def metal_from_ash(
    ash_g: Decimal,
    sample_g: Decimal,
    *,
    oxide: str,
    charged_metal_percent: Decimal | None = None,
) -> MetalFound:
    """Work out the metal in a resinate or a drier from the ash that a sample leaves.

    Parameters: ash_g [g, 0 or more; ash after cooling]; sample_g [g, above 0; sample burnt];
    oxide [one of `ash_oxides()`]; charged_metal_percent [%, above 0 up to 100; metal charged on
    the product; left out, nothing is compared].
    Returns: metal and ash in % of the sample, with a note if more metal was found than charged.
    Raises: OutOfRange for a number or an unknown oxide, or for more ash than sample.
    Source: ratio of molar masses, IUPAC/CIAAW 2021; practice of ashing from memory.

    >>> round(metal_from_ash(Decimal("0.2198"), Decimal(2), oxide="ZnO").metal_percent, 2)
    Decimal('8.83')
    """
    at_least(ash_g, 0, name="ash_g")
    factor = metal_factor(oxide, _metals()[one_of(oxide, ash_oxides(), name="oxide")])
    if ash_g > positive(sample_g, "sample_g"):
        raise OutOfRange(
            f"{ash_g:f} g of ash is more than the sample of {sample_g:f} g",
            "take the dish off both weighings",
            field="ash_g",
        )
    metal = 100 * ash_g * factor / sample_g
    notes = _notes(metal, charged_metal_percent)
    share = 100 * ash_g / sample_g
    return MetalFound(metal, share, factor, Standing.APPROXIMATE, _PURE_OXIDE, notes)


def _notes(metal: Decimal, charged: Decimal | None) -> tuple[str, ...]:
    usual = "this measured figure goes before the theoretical one"
    if charged is None:
        return (usual,)
    above(charged, 0, high=100, name="charged_metal_percent")
    if metal > charged * _SLACK:
        return (usual, "more metal found than charged: salts or alkali are not washed out")
    return (usual,)


@functools.cache
def _metals() -> dict[str, str]:
    return {row["oxide"]: row["metal"] for row in rows("ash_oxides.csv")}
