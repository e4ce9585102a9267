"""The life of a lot between its coming and its end."""

import hashlib
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client, dump, key_for
from tests.makers.stock import CERTIFICATE, goods, receipt, received

SKIN = {"opened": True, "saw": "a skin as thick as a nail", "skin_removed": "40 g"}


def lived(client: Client, lot: str, **body: Any) -> Any:
    return client.made(f"/v1/lots/{lot}/life", body)


def corrected(client: Client, entry: Any, **body: Any) -> Any:
    path = f"/v1/lots/{entry['lot']}/life/{entry['entry']}/corrections"
    return client.made(path, {"reason": "misread", **body})


def now(client: Client, lot: str) -> Any:
    return client.read(f"/v1/lots/{lot}")["life"]


def test_one_look_tells_all_that_was_done_and_seen(client: Client) -> None:
    oil = received(client)
    client.made("/v1/equipment", {"code": "KETTLE-2", "kind": "kettle", "holds": "12 l"})
    vessels = [
        {"vessel": "kettle-2", "amount": "1.96 kg"},
        {"vessel": "bottle, 3 l", "amount": "3 kg"},
    ]
    made = lived(client, oil, **SKIN, vessels=vessels)
    assert made["left"] == {"value": "4960", "unit": "g"}
    assert made["flags"] == []
    assert [(row["vessel"], row["equipment"]) for row in made["vessels"]] == [
        ("KETTLE-2", "KETTLE-2"),
        ("bottle, 3 l", None),
    ]
    seen = now(client, oil)
    assert (seen["saw"], seen["skin_removed"]) == (SKIN["saw"], {"value": "40", "unit": "g"})
    assert seen["vessels"]["differs_by"] == {"value": "0", "unit": "g"}
    assert seen["opened_on"] == client.read(f"/v1/lots/{oil}")["opened_on"]
    listed = client.read(f"/v1/lots/{oil}/life")["data"]
    assert [row["entry"] for row in listed] == [made["entry"]]


def test_a_skin_is_a_line_of_the_ledger_that_its_entry_corrects(client: Client) -> None:
    oil = received(client)
    made = lived(client, oil, skin_removed="40 g")
    line = client.read(f"/v1/movements/{made['movement']}")
    assert (line["cause"], line["amount"]["value"]) == ("skin", "-40")
    void = {"void": True, "reason": "x"}
    answer = client.post(f"/v1/movements/{made['movement']}/corrections", void)
    assert answer.json()["type"] == "/problems/corrected-elsewhere"


def test_a_skin_beyond_what_is_left_is_kept_and_flagged(client: Client) -> None:
    oil = received(client, amount="20 g")
    made = lived(client, oil, skin_removed="40 g")
    assert made["left"]["value"] == "-20"
    assert made["flags"][0]["code"] == "stock-negative"
    assert client.read(f"/v1/deviations/{made['flags'][0]['opens']}")["subject"] == oil


def test_a_volume_of_skin_is_converted_with_the_density_of_its_lot(client: Client) -> None:
    oil = received(client, density={"value": "0.93 kg/l", **CERTIFICATE})
    made = lived(client, oil, skin_removed="100 ml")
    assert made["skin_removed"] == {"value": "93", "unit": "g"}
    assert made["assumed"] == {"density": f"0.93 kg/l, declared, {oil}"}


def test_vessels_that_do_not_add_up_are_kept_and_flagged(client: Client) -> None:
    oil = received(client)
    made = lived(client, oil, vessels=[{"vessel": "drum", "amount": "4.9 kg"}])
    (flag,) = made["flags"]
    assert (flag["code"], flag["opens"]) == ("vessels-differ", None)
    assert "100 g less" in flag["text"]
    assert made["left"]["value"] == "5000"
    assert now(client, oil)["vessels"]["differs_by"]["value"] == "-100"


def test_vessels_are_held_against_the_ledger_of_their_instant(client: Client) -> None:
    oil = received(client)
    before = datetime.now(UTC).isoformat()
    client.made("/v1/movements", {"lot": oil, "cause": "cleaning", "amount": "1 kg"})
    vessels = [{"vessel": "drum", "amount": "5 kg"}]
    made = lived(client, oil, vessels=vessels, happened_at=before)
    assert made["flags"] == []
    told = now(client, oil)["vessels"]
    assert (told["ledger"]["value"], told["moved_since"]["value"]) == ("5000", "-1000")


def test_a_delivery_known_to_the_day_counts_from_its_morning(client: Client) -> None:
    goods(client, "OIL-LIN")
    line = {"material": "OIL-LIN", "amount": "5 kg"}
    oil = receipt(client, line, on="2026-01-10")["lots"][0]["lot"]
    vessels = [{"vessel": "drum", "amount": "5 kg"}]
    assert lived(client, oil, vessels=vessels, happened_at="2026-01-10T08:00:00Z")["flags"] == []


def test_jars_stand_in_boxes_by_count_and_grow_no_skin(client: Client) -> None:
    goods(client, "JAR-250", "container")
    jars = received(client, "JAR-250", 100)
    made = lived(client, jars, vessels=[{"vessel": "box 1", "amount": 60}])
    assert made["vessels"][0]["amount"] == 60
    assert "40 pieces less" in made["flags"][0]["text"]
    answer = client.post(f"/v1/lots/{jars}/life", {"skin_removed": 1})
    assert answer.json()["errors"][0]["code"] == "lot-counted"


def test_a_lot_opened_twice_keeps_its_first_day_and_says_so(client: Client) -> None:
    oil = received(client)
    lived(client, oil, opened=True, happened_at="2026-03-01T10:00:00Z")
    again = lived(client, oil, opened=True)
    assert [flag["code"] for flag in again["flags"]] == ["opened-before"]
    assert now(client, oil)["opened_on"] == "2026-03-01"


def test_a_correction_makes_the_ledger_good(client: Client) -> None:
    oil = received(client)
    first = lived(client, oil, **SKIN)
    second = corrected(client, first, replaces={"skin_removed": "400 g"})
    assert (second["left"]["value"], second["saw"]) == ("4600", SKIN["saw"])
    assert second["corrects"] == first["entry"]
    third = corrected(client, second, replaces={"skin_removed": None})
    assert (third["left"]["value"], third["skin_removed"]) == ("5000", None)
    fourth = corrected(client, third, replaces={"skin_removed": "10 g", "opened": False})
    assert (fourth["left"]["value"], fourth["opened"]) == ("4990", False)
    void = corrected(client, fourth, void=True)
    assert (void["left"]["value"], void["void"]) == ("5000", True)
    seen = now(client, oil)
    assert (seen["saw"], seen["opened_on"], seen["skin_removed"]["value"]) == (None, None, "0")
    path = f"/v1/lots/{oil}/life/{void['entry']}/corrections"
    again = client.post(path, {"void": True, "reason": "x"})
    assert again.json()["type"] == "/problems/already-corrected"


def test_vessels_go_along_with_a_correction_of_something_else(client: Client) -> None:
    oil = received(client)
    vessels = [{"vessel": "drum", "amount": "5 kg"}]
    first = lived(client, oil, vessels=vessels, saw="clear")
    second = corrected(client, first, replaces={"saw": "clear, pale"})
    assert second["vessels"] == first["vessels"]
    half = [{"vessel": "drum", "amount": "2 kg"}, {"vessel": "can", "amount": "3 kg"}]
    third = corrected(client, second, replaces={"vessels": half})
    assert (len(third["vessels"]), third["flags"]) == (2, [])
    assert corrected(client, third, replaces={"vessels": None})["vessels"] is None


def test_a_correction_that_leaves_nothing_is_a_void_one(client: Client) -> None:
    entry = lived(client, received(client), saw="cloudy")
    path = f"/v1/lots/{entry['lot']}/life/{entry['entry']}/corrections"
    body: dict[str, Any] = {"replaces": {"saw": None}, "reason": "another lot"}
    problem = client.post(path, body).json()
    assert problem["errors"][0]["code"] == "nothing-said"
    patch = problem["errors"][0]["remedies"][0]["send"]
    merged = {n: v for n, v in {**body, **patch}.items() if v is not None}
    assert client.made(path, merged)["void"]


@pytest.mark.parametrize(
    ("body", "code", "pointer"),
    [
        ({}, "nothing-said", "#"),
        ({"opened": False}, "nothing-said", "#"),
        ({"skin_removed": "0 g"}, "out-of-range", "#/skin_removed"),
        ({"skin_removed": "5 s"}, "wrong-dimension", "#/skin_removed"),
        ({"vessels": []}, "too-short", "#/vessels"),
        ({"vessels": [{"vessel": "A", "amount": 3}]}, "unit-missing", "#/vessels/0/amount"),
        (
            {"vessels": [{"vessel": "A", "amount": "1 g"}, {"vessel": "a", "amount": "1 g"}]},
            "vessel-twice",
            "#/vessels/1/vessel",
        ),
        ({"photo": "page.jpg"}, "bad-attachment-name", "#/photo"),
        ({"saw": "x", "by": "NOBODY"}, "person-unknown", "#/by"),
    ],
)
def test_what_says_nothing_or_cannot_be_is_refused(
    client: Client, store: Store, body: Any, code: str, pointer: str
) -> None:
    oil = received(client)
    before = dump(store)
    answer = client.post(f"/v1/lots/{oil}/life", body)
    assert answer.status_code == 422, answer.text
    fault = answer.json()["errors"][0]
    assert (fault["code"], fault.get("pointer", "#")) == (code, pointer)
    assert dump(store) == before


def test_what_is_still_to_come_was_not_seen(client: Client) -> None:
    oil = received(client)
    ahead = (datetime.now(UTC) + timedelta(hours=1)).isoformat()
    body = {"saw": "clear", "happened_at": ahead}
    fault = client.post(f"/v1/lots/{oil}/life", body).json()["errors"][0]
    assert fault["code"] == "time-to-come"
    mended = {**body, **fault["remedies"][0]["send"]}
    assert lived(client, oil, **{n: v for n, v in mended.items() if v is not None})


def test_files_may_come_before_after_or_never(client: Client, store: Store) -> None:
    photo, paper = (f"sha256:{digit * 64}" for digit in "ab")
    goods(client, "OIL-LIN")
    line = {"material": "OIL-LIN", "amount": "5 kg", "certificate": paper}
    lot = receipt(client, line)["lots"][0]
    assert lot["certificate"] == {
        "name": paper,
        "here": False,
        "href": f"/v1/attachments/{paper}",
    }
    made = lived(client, lot["lot"], photo=photo)
    assert made["photo"]["here"] is False
    reader = Client(client.app, key_for(store, ["read"]))
    assert reader.read(f"/v1/lots/{lot['lot']}")["certificate"] is None


def test_a_certificate_that_came_later_is_the_lots(client: Client, store: Store) -> None:
    oil = received(client)
    content = b"%PDF-1.4\n% an invented certificate\n%%EOF\n"
    name = "sha256:" + hashlib.sha256(content).hexdigest()
    made = lived(client, oil, certificate=name)
    assert client.read(f"/v1/lots/{oil}")["certificate"]["here"] is False
    sent = client.request(
        "PUT",
        f"/v1/attachments/{name}",
        content=content,
        headers={"Content-Type": "application/pdf"},
    )
    assert sent.status_code in {200, 201}, sent.text
    assert client.read(f"/v1/lots/{oil}")["certificate"]["here"] is True
    corrected(client, made, void=True)
    assert client.read(f"/v1/lots/{oil}")["certificate"] is None
    recorder = Client(client.app, key_for(store, ["record", "read"]))
    hidden = recorder.made(f"/v1/lots/{oil}/life", {"certificate": name})
    assert hidden["certificate"] is None


def test_a_dry_run_keeps_nothing(client: Client, store: Store) -> None:
    oil = received(client)
    before = dump(store)
    answer = client.post(f"/v1/lots/{oil}/life?dry_run=true", SKIN)
    assert (answer.status_code, answer.json()["left"]["value"]) == (200, "4960")
    assert dump(store) == before
