"""Drums topped up in an invented workshop."""

from typing import Any

from tests.client import Client
from tests.makers.stock import CERTIFICATE, goods, receipt

OLD, NEW = "LINOLD-1", "LINNEW-2"


def oils(
    client: Client, old: dict[str, Any] | None = None, new: dict[str, Any] | None = None
) -> None:
    """Two lots of linseed oil: 1.2 kg of the old, 3 kg of the new."""
    goods(client, "OIL-LIN", lot_prefix="LIN")
    receipt(
        client,
        {"material": "OIL-LIN", "amount": "1.2 kg", "lot": OLD, **(old or {})},
        {"material": "OIL-LIN", "amount": "3 kg", "lot": NEW, **(new or {})},
    )


def declared(value: str, **more: Any) -> dict[str, Any]:
    """A figure of an invented certificate."""
    return {"value": value, **CERTIFICATE, **more}


def topped(client: Client, onto: str = OLD, **body: Any) -> Any:
    """A top-up of the old lot with all of the new; the answer."""
    poured = {"with": [{"lot": NEW, "amount": "3 kg"}], **body}
    return client.made(f"/v1/lots/{onto}/top-ups", poured)


def refused(client: Client, onto: str = OLD, **body: Any) -> Any:
    """The problem that a top-up is refused with."""
    answer = client.post(f"/v1/lots/{onto}/top-ups", body)
    assert answer.status_code in {409, 422}, answer.text
    return answer.json()


def left(client: Client, lot: str) -> str:
    """What is left of a lot, as a value."""
    value: str = client.read(f"/v1/lots/{lot}")["left"]["value"]
    return value
