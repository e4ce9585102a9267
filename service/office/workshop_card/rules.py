"""What a labour rate needs: money means nothing without a currency, and another in another."""

from collections.abc import Mapping
from typing import Any

from service.errors import Fault, Remedy

NO_CURRENCY = "The workshop has no currency yet, so a labour rate says nothing."


def rate_faults(before: Mapping[str, Any], sent: Mapping[str, Any]) -> tuple[Fault, ...]:
    """What is wrong with the labour rate once a patch is laid over the card."""
    after = {**before, **sent}
    if after["labour_rate"] is None:
        return ()
    if after["currency"] is None and "labour_rate" in sent:
        return (_no_currency(),)
    if "labour_rate" not in sent and after["currency"] != before["currency"]:
        return (_rate_left_behind(before["currency"]),)
    return ()


def _no_currency() -> Fault:
    return Fault(
        NO_CURRENCY,
        "currency-missing",
        "#/labour_rate",
        hint='Send the currency with it, for example "EUR".',
        remedies=(Remedy("You reckon in euros", {"currency": "EUR"}),),
    )


def _rate_left_behind(currency: str) -> Fault:
    return Fault(
        f"The labour rate is in {currency}; it would be read in another currency.",
        "rate-in-old-currency",
        "#/currency",
        hint="Send the labour rate in the new currency with it.",
        remedies=(Remedy("The new rate is not known yet", {"labour_rate": None}),),
    )
