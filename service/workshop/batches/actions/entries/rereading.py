"""A weighing that was misread: what its readings are after the correction."""

from service.science import units
from service.science.units import Quantity
from service.workshop.batches._tables import Weighing
from service.workshop.batches.actions.entries.desk import Desk, Place
from service.workshop.batches.actions.entries.weighings import settled
from service.workshop.batches.bodies.entries import Replacement
from service.workshop.batches.rules.netting import Read


def as_read(row: Weighing) -> Read:
    """The readings of a weighing that stands."""
    net = units.quantity(row.entered_value, row.entered_unit, "mass")
    return Read(net, _mass(row.gross), _mass(row.tare))


def reread(
    desk: Desk, old: Weighing, sent: Replacement, *, balance: str | None, place: Place
) -> Read:
    """A net alone replaces all readings; of gross and tare, the one that is not sent stays.
    Raises Invalid where they do not agree."""
    was = as_read(old)
    if sent.gross is None and sent.tare is None:
        return was if sent.weighed is None else Read(sent.weighed)
    gross = was.gross if sent.gross is None else sent.gross
    tare = was.tare if sent.tare is None else sent.tare
    lone = gross is None or tare is None
    net = was.net if sent.weighed is None and lone else sent.weighed
    return settled(desk, Read(net, gross, tare), balance, place)


def _mass(text: str | None) -> Quantity | None:
    return None if text is None else units.parse(text, "mass")
