"""Bodies of the workshop card."""

from typing import Annotated, Literal
from urllib.parse import urlsplit
from zoneinfo import available_timezones

from pydantic import AfterValidator, Field, field_validator

from service.web.fields import Amount, In, Line, Mark, Out, Paragraph, Short, refusal
from service.web.money import Price, cents


def _zone(value: str) -> str:
    if value not in available_timezones():
        raise refusal("zone-unknown", "This is no time zone.", 'Send for example "Europe/London".')
    return value


def _web_address(value: str) -> str:
    parts = urlsplit(value)
    if parts.scheme not in {"https", "http"} or not parts.netloc or parts.query or parts.fragment:
        raise refusal("bad-address", "This is no web address.", 'Send "https://lots.example.org".')
    return value.rstrip("/")


Zone = Annotated[Short, AfterValidator(_zone)]
WebAddress = Annotated[Line, AfterValidator(_web_address)]
Currency = Annotated[str, Field(pattern=r"^[A-Z]{3}$", description="ISO 4217 code")]
Market = Literal["eu", "gb", "us"]
Language = Annotated[str, Field(pattern=r"^[a-z]{2}$", description="ISO 639 code")]


class WorkshopPatch(In):
    name: Line | None = None
    address: Paragraph | None = None
    telephone: Mark | None = None
    zone: Zone = "UTC"
    currency: Currency | None = None
    labour_rate: Price | None = Field(
        default=None, description="What an hour's work costs, in the workshop's currency."
    )
    public_address: WebAddress | None = Field(
        default=None, description="Where the public sees this service; printed on labels."
    )
    vat_number: Mark | None = None
    markets: list[Market] = Field(default=[], max_length=3)
    languages: list[Language] = Field(default=["en"], min_length=1, max_length=8)

    _money = field_validator("labour_rate")(cents)


class WorkshopOut(Out):
    name: str | None
    address: str | None
    telephone: str | None
    zone: str
    currency: str | None
    labour_rate: Amount | None = Field(
        description="For an hour's work; null for keys without the scope write."
    )
    public_address: str | None
    vat_number: str | None
    markets: list[str]
    languages: list[str]
