"""What changes in the stock."""

from service.workshop.stock.actions.ledger import Move, correct, enter, move, retime, reverse
from service.workshop.stock.actions.life import (
    correct_life,
    record_life,
)
from service.workshop.stock.actions.lots import (
    NewLot,
    lettered_number,
    link,
    make_lot,
    number_for,
    set_amount_in,
    set_days,
    set_quality,
    set_ready_on,
)
from service.workshop.stock.actions.movements import correct_movement, record_movement
from service.workshop.stock.actions.receipts import create_receipt
from service.workshop.stock.actions.top_up_corrections import (
    correct_top_up,
)
from service.workshop.stock.actions.top_ups import (
    top_up,
)

__all__ = [
    "Move",
    "NewLot",
    "correct",
    "correct_life",
    "correct_movement",
    "correct_top_up",
    "create_receipt",
    "enter",
    "lettered_number",
    "link",
    "make_lot",
    "move",
    "number_for",
    "record_life",
    "record_movement",
    "retime",
    "reverse",
    "set_amount_in",
    "set_days",
    "set_quality",
    "set_ready_on",
    "top_up",
]
