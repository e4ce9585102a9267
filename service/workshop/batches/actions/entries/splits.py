"""One weighing split over lots: each part an entry of its own, the verdict on the whole."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from service.errors import Invalid, Remedy, at
from service.science.units import Quantity
from service.workshop.batches.actions.entries.desk import Desk, Place
from service.workshop.batches.actions.entries.weighings import (
    Portion,
    Weighed,
    disagreement,
    record_weighing,
)
from service.workshop.batches.bodies.entries import PartIn, WeighedOfLineIn
from service.workshop.batches.rules import BESIDE_THE_PLAN
from service.workshop.batches.rules.netting import Disagree, Read, less, net_of
from service.workshop.batches.rules.resending import written

_ANY = 10**12  # mg: whether readings agree is judged where the balance is known


def record_split(desk: Desk, wanted: WeighedOfLineIn, place: Place) -> list[Weighed]:
    """Keep a weighing, of one lot or of several. Raises WrongMaterial, Invalid."""
    whole = Portion(
        wanted.read(wanted.amount),
        line=wanted.line,
        material=wanted.material,
        lot=wanted.lot,
        balance=wanted.balance,
        substitute=wanted.substitute,
        part=wanted.part,
        checked_by=wanted.checked_by,
    )
    if wanted.from_ is None:
        return [record_weighing(desk, whole, place)]
    found: list[Weighed] = []
    for portion, own in _parts(wanted, wanted.from_, whole=whole, place=place):
        line = found[0].row.line if found else BESIDE_THE_PLAN
        # Where only the material was named, all parts go to the line that the first one found.
        told = portion if line == BESIDE_THE_PLAN else replace(portion, line=line)
        found.append(record_weighing(desk, told, own))
    return found


def _parts(
    wanted: WeighedOfLineIn, parts: Sequence[PartIn], *, whole: Portion, place: Place
) -> Iterator[tuple[Portion, Place]]:
    rest = _rest(wanted, parts, place)
    for number, part in enumerate(parts):
        portion = replace(
            whole,
            read=part.read(part.amount) if part.said else Read(rest),
            lot=part.lot,
            balance=part.balance or whole.balance,
            substitute=part.substitute or whole.substitute,
            part=whole.part or number < len(parts) - 1,
        )
        pointer = f"{place.pointer}/from/{number}"
        yield portion, Place(pointer, _in_list(parts, number, place))


def _rest(wanted: WeighedOfLineIn, parts: Sequence[PartIn], place: Place) -> Quantity | None:
    """What is left of the whole for the part that does not say; None where no whole was said.
    Raises Invalid where the parts do not add up to it."""
    if wanted.amount is None:
        return None
    said = [
        _net(part, Place(f"{place.pointer}/from/{number}", _in_list(parts, number, place)))
        for number, part in enumerate(parts)
        if part.said
    ]
    rest = less(wanted.amount, *said)
    if len(said) < len(parts) and rest.value > 0:
        return rest
    if len(said) == len(parts) and rest.value == 0:
        return None
    added = " + ".join(str(each) for each in said)
    wrong = f"The parts ({added}) do not leave {wanted.amount} as the whole."
    ways = (Remedy("the parts are right", place.wrap({"amount": None})),)
    fits = ways if len(said) == len(parts) else ()
    raise Invalid(wrong, at(place.of("from"), wrong, "parts-disagree", remedies=fits))


def _net(part: PartIn, place: Place) -> Quantity:
    try:
        return net_of(part.read(part.amount), _ANY)
    except Disagree as found:
        raise disagreement(found, place) from None


def _in_list(parts: Sequence[PartIn], number: int, place: Place) -> Callable[[dict[str, Any]], Any]:
    """A merge patch replaces an array as a whole, so it is written out."""

    def wrap(patch: dict[str, Any]) -> Any:
        sent = [written(part) for part in parts]
        sent[number] = {**sent[number], **patch}
        return place.wrap({"from": sent})

    return wrap
