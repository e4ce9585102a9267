"""Gross, tare and net: any two of them are enough, and three must agree: pure."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.science import units
from service.science.rounding import round_half_even
from service.science.units import Quantity

_MILLIGRAM = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class Read:
    """What was read at a balance: the net alone, or the vessel with it and without it too."""

    net: Quantity | None = None
    gross: Quantity | None = None
    tare: Quantity | None = None


@dataclass
class Disagree(Exception):
    """Readings that cannot all be right; each way out names what was misread and the change."""

    name: str
    code: str
    detail: str
    ways: tuple[tuple[str, Mapping[str, Any]], ...]


def net_of(read: Read, division_mg: int) -> Quantity:
    """What went in. Raises Disagree where the readings are off by more than the balance rounds.

    Each of three readings is rounded by itself, so they may come to one division more or less.
    """
    if read.gross is None or read.tare is None:
        if read.net is None:
            raise LookupError("neither a net nor the two readings that it follows from")
        return read.net
    found = less(read.gross, read.tare)
    if found.value <= 0:
        raise _not_heavier(read.gross, read.tare)
    if read.net is None:
        return found
    if abs(units.canonical(found) - units.canonical(read.net)) > division_mg:
        raise _apart(read.gross, read.tare, read.net)
    return read.net


def less(whole: Quantity, *taken: Quantity) -> Quantity:
    """A mass less others: in the unit of all of them, else in g to the milligram."""
    if all(each.unit == whole.unit for each in taken):
        left = whole.value - sum((each.value for each in taken), Decimal(0))
        return whole._replace(value=left)
    mg = units.canonical(whole) - sum((units.canonical(each) for each in taken), Decimal(0))
    return units.quantity(round_half_even(Fraction(mg) / 1000, _MILLIGRAM), "g", "mass")


def _not_heavier(gross: Quantity, tare: Quantity) -> Disagree:
    detail = f"With the tare of {tare}, {gross} leaves nothing that went in."
    swapped = {"gross": str(tare), "tare": str(gross)}
    ways = (("the two were swapped", swapped),) if gross != tare else ()
    return Disagree("tare", "tare-too-heavy", detail, ways)


def _apart(gross: Quantity, tare: Quantity, net: Quantity) -> Disagree:
    found = less(gross, tare)
    detail = f"{gross} less {tare} is {found}, and the net is said to be {net}."
    ways = tuple((f"the {name} was misread", {name: None}) for name in ("net", "gross", "tare"))
    return Disagree("net", "readings-disagree", detail, ways)


def vessel(net: Quantity, gross: Quantity | None, tare: Quantity | None) -> Read:
    """All three readings, where the vessel was read once at least; else the net alone."""
    if gross is not None:
        return Read(net, gross, less(gross, net) if tare is None else tare)
    if tare is None:
        return Read(net)
    return Read(net, less(net, tare._replace(value=-tare.value)), tare)
