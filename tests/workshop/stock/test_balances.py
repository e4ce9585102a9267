"""What there is of each material, over all of its lots."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from service.store.session import Store
from service.workshop.stock.rules import QUALITIES, standing_of
from tests.client import Client, key_for
from tests.makers.stock import currency, goods, made_lot, receipt, received


def balances(client: Client, material: str = "OIL-LIN") -> list[Any]:
    rows = client.read(f"/v1/stock/materials?q={material}")["data"]
    (row,) = [row for row in rows if row["material"] == material]
    found: list[Any] = row["balances"]
    return found


def grams(balance: Any) -> dict[str, str]:
    names = ("left", "open", "quarantine", "expired", "rejected", "below_zero")
    return {name: balance[name]["value"] for name in names}


def test_a_material_is_summed_by_what_may_be_done_with_it(client: Client) -> None:
    client.made("/v1/people", {"code": "MB", "name": "M. B."})
    goods(client, "OIL-LIN")
    oil = {"material": "OIL-LIN", "amount": "1 kg"}
    receipt(
        client,
        {**oil, "lot": "GOOD-1", "expires_on": "2199-01-01"},
        {**oil, "lot": "GOOD-2", "amount": "2 kg", "expires_on": "2198-01-01"},
        {**oil, "lot": "STALE-1", "amount": "300 g", "expires_on": "2020-01-01"},
        {**oil, "lot": "BAD-1", "amount": "50 g"},
        {**oil, "lot": "OVER-1", "amount": "10 g"},
        {**oil, "lot": "GONE-1", "amount": "10 g"},
    )
    client.made("/v1/lots/BAD-1/rejections", {"reason": "rancid", "by": "MB"})
    for lot, amount in (("OVER-1", "25 g"), ("GONE-1", "10 g")):
        client.made("/v1/movements", {"lot": lot, "cause": "cleaning", "amount": amount})
    client.patch("/v1/materials/OIL-LIN", {"accept_with": ["density"]})
    receipt(client, {**oil, "lot": "WAITS-1", "amount": "400 g"})
    (balance,) = balances(client)
    assert grams(balance) == {
        "left": "3735",
        "open": "3000",
        "quarantine": "400",
        "expired": "300",
        "rejected": "50",
        "below_zero": "-15",
    }
    assert (balance["kept"], balance["lots"]) == ("mass", 6)
    assert balance["next_expiry"] == "2198-01-01"


def test_bulk_and_packs_of_one_material_stand_apart(client: Client, store: Store) -> None:
    goods(client, "SPAR", "finished")
    oil = received(client)
    made_lot(store, "SPARB-1", "SPAR", {oil: 4_000_000}, amount=3_900_000)
    made_lot(store, "SPARJ-1", "SPAR", {"SPARB-1": 1_000_000}, amount=4, kind="packed")
    kept = {row["kept"]: row for row in balances(client, "SPAR")}
    assert kept["mass"]["left"] == {"value": "2900", "unit": "g"}
    assert (kept["count"]["left"], kept["count"]["quarantine"]) == (4, 4)


def test_what_it_is_worth_says_whether_a_price_is_missing(client: Client, store: Store) -> None:
    currency(client)
    received(client, price="31.00")
    (balance,) = balances(client)
    assert balance["value"] == {"value": "31.00", "unit": "EUR"}
    assert not balance["at_least"]
    received(client, amount="1 kg")
    (balance,) = balances(client)
    assert (balance["value"]["value"], balance["at_least"]) == ("31.00", True)
    reader = Client(client.app, key_for(store, ["read"]))
    (hidden,) = balances(reader)
    assert (hidden["value"], hidden["at_least"]) == (None, False)


def test_what_never_came_is_not_listed_and_what_is_used_up_has_no_balance(client: Client) -> None:
    goods(client, "ROSIN")
    oil = received(client)
    spilt = {"lot": oil, "cause": "scrap", "amount": "5 kg", "reason": "spilt"}
    client.made("/v1/movements", spilt)
    (row,) = client.read("/v1/stock/materials")["data"]
    assert (row["material"], row["balances"]) == ("OIL-LIN", [])


@given(
    quality=st.sampled_from(QUALITIES),
    expires_on=st.none() | st.dates(),
    on=st.dates(),
    amount=st.integers(-(10**12), 10**12).filter(bool),
)
def test_only_what_is_released_in_date_and_there_is_open(
    quality: str, expires_on: Any, on: Any, amount: int
) -> None:
    found = standing_of(quality, expires_on, on=on, amount=amount)
    good = quality == "released" and (expires_on is None or expires_on >= on) and amount > 0
    assert (found == "open") == good
    assert (found == "below_zero") == (amount < 0)
