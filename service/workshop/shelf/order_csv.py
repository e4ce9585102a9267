"""The order list as rows for a spreadsheet (RFC 4180: CRLF, UTF-8, one header row)."""

import csv
import io
from collections.abc import Iterator

from service.press.csv import guard
from service.workshop.shelf.bodies.shortages import OrderListOut, OrderOut

COLUMNS = (
    "supplier",
    "material",
    "name",
    "amount",
    "unit",
    "order_by",
    "needed_on",
    "lead_days",
    "estimate",
    "currency",
    "made_by",
    "why",
)


def render(found: OrderListOut) -> bytes:
    """What to order, then what to make; numbers are bare, text is no formula."""
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows(list(_cells(row)) for row in (*found.orders, *found.to_make))
    return page.getvalue().encode()


def _cells(row: OrderOut) -> Iterator[str]:
    amount, unit = (
        (str(row.amount), "pcs")
        if isinstance(row.amount, int)
        else (row.amount.value, row.amount.unit)
    )
    yield from (guard(text) for text in (row.supplier or "", row.material, row.name))
    yield from (amount, unit)
    yield from (day.isoformat() if day else "" for day in (row.order_by, row.needed_on))
    yield "" if row.lead_days is None else str(row.lead_days)
    estimate = row.estimate
    yield from ("", "") if estimate is None else (estimate.value, estimate.unit)
    yield from (guard(row.made_by or ""), guard(row.why))
