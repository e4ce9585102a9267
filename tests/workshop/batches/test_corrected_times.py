"""What was entered under a wrong time is corrected like any other slip of the pen."""

from service.store.session import Store
from tests.client import Client, dump
from tests.makers.batches import left, planned, stocked

THEN = "2026-11-02T10:00:00Z"


def corrected(client: Client, code: str, line: int, **values: str) -> dict[str, object]:
    body = {"replaces": values, "reason": "the clock in the shed was wrong"}
    return client.made(f"/v1/batches/{code}/lines/{line}/corrections", body)


def test_the_time_of_a_weighing_is_put_right_by_itself(client: Client, store: Store) -> None:
    lots = stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    client.made(f"/v1/batches/{code}/pages", {"lines": {"1": "1143"}})
    made = corrected(client, code, 1, happened_at=THEN)
    assert str(made["now"]).endswith(f"of {lots['ROSIN']} at 2026-11-02T10:00+00:00")
    old, new = client.read(f"/v1/batches/{code}/weighings")["data"]
    assert (old["corrected_by"], new["corrects"]) == (new["entry"], old["entry"])
    assert old["about"] is not None  # a page says only the day
    assert (new["happened_at"], new["about"]) == (THEN, None)
    assert new["weighed"] == old["weighed"]
    assert left(client, lots["ROSIN"])["value"] == "3857"
    drawn = [row for row in dump(store)["movements"] if "weighing" in row]
    assert len(drawn) == 2  # the second one at the time that it was


def test_an_amount_corrected_later_keeps_the_corrected_time(client: Client) -> None:
    stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    client.made(f"/v1/batches/{code}/weighings", {"line": 1, "amount": "1143"})
    corrected(client, code, 1, happened_at=THEN)
    corrected(client, code, 1, weighed="1144")
    last = client.read(f"/v1/batches/{code}/weighings")["data"][-1]
    assert (last["weighed"]["value"], last["happened_at"]) == ("1144", THEN)


def test_a_yield_keeps_its_mass_when_its_time_is_put_right(client: Client) -> None:
    stocked(client)
    client.made("/v1/people", {"code": "JO"})
    code = planned(client, "RESIN-ZN", "1.2 kg")
    page = {"lines": {"1": "1143", "2": "57"}, "yield": "1.15 kg", "finished": True}
    lot = client.made(f"/v1/batches/{code}/pages", page)["lot"]
    made = corrected(client, code, 5, happened_at=THEN, checked_by="JO")
    assert made["now"] == "1.15 kg at 2026-11-02T10:00+00:00"
    assert left(client, lot)["value"] == "1150"
    answer = client.post(
        f"/v1/batches/{code}/lines/5/corrections",
        {"replaces": {"balance": "KETTLE-2"}, "reason": "read from the wrong line"},
    )
    assert answer.json()["errors"][0]["pointer"] == "#/replaces/balance"


def test_what_was_seen_is_seen_at_another_time(client: Client) -> None:
    stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    client.made(f"/v1/batches/{code}/pages", {"lines": {"3": "240 C reached"}})
    made = corrected(client, code, 3, happened_at=THEN)
    assert made["now"] == "240 C reached at 2026-11-02T10:00+00:00"
