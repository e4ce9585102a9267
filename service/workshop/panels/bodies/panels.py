"""Bodies of panels, their coats and their sheets."""

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from service.science.check_characters import code_problem
from service.web.fields import (
    Amount,
    Code,
    Day,
    Figure,
    In,
    Line,
    Out,
    Paragraph,
    Utc,
    Written,
    amount,
    refusal,
)

_FORM = re.compile(r"[A-Z][A-Z0-9-]{1,19}")

WetCoat: Any = amount("areal-mass", unit="g/m2", low="0", high="2000")


def _panel_code(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    code = value.strip().upper()
    two_letters = code[1:2].isalpha()
    # A short letter and a number, as in P-26-014, is no date to any spreadsheet; a month is.
    wrong = code_problem(code) if two_letters else None
    if wrong or not _FORM.fullmatch(code):
        hint = "Begin with a letter; then letters, digits and hyphens; 20 characters at most."
        detail = f"{code[:40]!r} cannot be a panel's code{': ' + wrong if wrong else ''}."
        raise refusal("bad-code", detail, hint)
    return code


PanelCode = Annotated[
    str,
    Field(min_length=2, max_length=20, examples=["P-26-014"]),
    BeforeValidator(_panel_code),
]


class CoatIn(In):
    on: Day
    wet: WetCoat | None = Field(default=None, description='What was put on: "80 g/m2"')
    lot: Code | None = Field(default=None, description="Where absent, the lot of the panel.")
    how: Line | None = Field(default=None, description="Brush, rubber, thinned by how much, …")


class CoatMoreIn(CoatIn):
    by: Code | None = None


class PanelIn(In):
    code: PanelCode | None = Field(default=None, description="Where absent, the next number.")
    lot: Code
    wood: Line
    cure: Paragraph | None = Field(
        default=None, max_length=300, description="Where and how it dries: warm, moist, in light."
    )
    coats: list[CoatIn] = Field(default=[], max_length=50)
    by: Code | None = None


class CoatOut(Out):
    coat: int
    on: Day
    lot: str
    wet: Amount | None
    how: str | None
    by: str | None


class PanelOut(Out):
    code: str
    lot: str
    wood: str
    cure: str | None
    coats: list[CoatOut]
    film: Figure | None = Field(description="Of all coats, where it can be worked out.")
    readings: int
    by: str | None
    created_at: Utc
    notes: dict[str, dict[str, Any]]


class PanelMade(PanelOut, Written):
    pass


class SheetRow(Out):
    row: int
    at: str
    test: str
    do: str
    reagent: str | None
    scale: str | None
    ratings: list[str]


class Words(Out):
    effects: list[str]
    extents: list[str]


class PanelSheet(Out):
    """What to do on a panel, line by line, and the empty body that comes back."""

    panel: str
    lot: str
    wood: str
    coats: int
    protocol: str
    version: int
    name: str
    method: str
    rows: list[SheetRow]
    words: Words
    page_to_send: dict[str, Any]
