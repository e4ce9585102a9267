"""Sheets of scalings: where they stand, and their pages as one reads them."""

import html
from typing import Any

from service.press.text import NO_BREAK_SPACE
from tests.client import Client
from tests.makers import scalings

PAGE = {"form": "html"}


def address(client: Client, asked: Any = "5.49 kg", *, code: str = "SPAR", **more: Any) -> str:
    """Where the sheet of a new scaling stands."""
    number = scalings.scaling(client, asked, code=code, **more)["scaling"]
    return f"/v1/recipes/{code}/scalings/{number}/sheet"


def printed(client: Client, path: str) -> str:
    """The page as one reads it: characters for entities, blanks for those that hold units."""
    answer = client.get(path, params=PAGE)
    assert answer.status_code == 200, answer.text
    return html.unescape(answer.text).replace(NO_BREAK_SPACE, " ")
