"""What changes in the stock."""

from service.workshop.stock.actions.ledger import Move, correct, enter, move, reverse
from service.workshop.stock.actions.lots import (
    NewLot,
    lettered_number,
    link,
    make_lot,
    number_for,
    set_amount_in,
    set_quality,
)
from service.workshop.stock.actions.movements import correct_movement, record_movement
from service.workshop.stock.actions.receipts import create_receipt

__all__ = [
    "Move",
    "NewLot",
    "correct",
    "correct_movement",
    "create_receipt",
    "enter",
    "lettered_number",
    "link",
    "make_lot",
    "move",
    "number_for",
    "record_movement",
    "reverse",
    "set_amount_in",
    "set_quality",
]
