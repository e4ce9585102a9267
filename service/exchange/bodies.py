"""Bodies of the exchange."""

from typing import Literal

from pydantic import Field

from service.web.fields import In, Written

Table = Literal["materials", "scales", "protocols"]


class StartersIn(In):
    take: list[Table] = Field(min_length=1, max_length=3)


class Loaded(Written):
    """What was made, by table, and what stood there already."""

    made: dict[str, list[str]]
    kept: dict[str, list[str]]


class Imported(Written):
    """The codes that were made, in the order of the rows."""

    made: list[str]
