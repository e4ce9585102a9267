"""What a check of the whole record finds wrong with top-ups."""

import pytest
from sqlalchemy import text

from service.store.session import Store
from service.workshop.stock import faults
from tests.client import Client, system
from tests.makers.top_ups import NEW, OLD, oils, topped


def found(store: Store) -> list[str]:
    with store.reading(system()) as session:
        return list(faults.faults(session))


def tamper(store: Store, statement: str) -> None:
    with store.writing(system()) as session:
        session.connection().execute(text(statement))


def poured(client: Client) -> str:
    oils(client)
    body = {"with": [{"lot": NEW, "amount": "3 kg", "on_ledger": False}]}
    lot: str = topped(client, **body)["lot"]
    return lot


def test_nothing_is_wrong_with_what_was_poured_corrected_and_voided(
    client: Client, store: Store
) -> None:
    lot = poured(client)
    assert found(store) == []
    path = f"/v1/lots/{lot}/top-ups"
    body = {"replaces": {"heel": "1 kg"}, "reason": "misread"}
    client.made(f"{path}/1/corrections", body)
    assert found(store) == []
    client.made(f"{path}/2/corrections", {"void": True, "reason": "never poured"})
    assert found(store) == []


@pytest.mark.parametrize(
    ("statement", "what"),
    [
        ("update lots set amount_in = 1 where kind = 'made'", "says 1"),
        ("update movements set amount = 1 where cause = 'top-up' and amount > 0", "does not bring"),
        ("update movements set amount = -1 where cause = 'top-up' and amount < 0", "does not take"),
        ("update movements set amount = 1 where cause = 'recovered'", "does not book"),
        ("update edges set amount = amount + 1", "its origins say otherwise"),
        ("delete from edges", "its origins say otherwise"),
    ],
)
def test_what_was_changed_by_hand_is_found(
    client: Client, store: Store, statement: str, what: str
) -> None:
    lot = poured(client)
    tamper(store, statement)
    said = found(store)
    assert any(what in one and (lot in one or "M-" in one) for one in said), said
    assert OLD in " ".join(said) or lot in " ".join(said) or NEW in " ".join(said)
