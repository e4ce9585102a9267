"""Bodies of the stock slice."""

from service.workshop.stock.bodies.amounts import (
    Entered,
    Held,
    Price,
    SignedAmount,
    StockAmount,
    money,
)
from service.workshop.stock.bodies.lots import (
    LotFigure,
    LotFigures,
    LotKind,
    LotOut,
    LotShown,
    Quality,
    Reached,
    StockOut,
    TraceOut,
)
from service.workshop.stock.bodies.movements import (
    Cause,
    MovementCorrection,
    MovementIn,
    MovementMade,
    MovementOut,
    MovementValues,
)
from service.workshop.stock.bodies.receipts import (
    ReceiptIn,
    ReceiptLine,
    ReceiptMade,
    ReceiptOut,
    lines_again,
)

__all__ = [
    "Cause",
    "Entered",
    "Held",
    "LotFigure",
    "LotFigures",
    "LotKind",
    "LotOut",
    "LotShown",
    "MovementCorrection",
    "MovementIn",
    "MovementMade",
    "MovementOut",
    "MovementValues",
    "Price",
    "Quality",
    "Reached",
    "ReceiptIn",
    "ReceiptLine",
    "ReceiptMade",
    "ReceiptOut",
    "SignedAmount",
    "StockAmount",
    "StockOut",
    "TraceOut",
    "lines_again",
    "money",
]
