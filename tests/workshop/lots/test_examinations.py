"""Examinations of filled packs through HTTP: leaks and looks, counted."""

import pytest

from service.store.session import Store
from tests.client import Client
from tests.makers.lots import BULK, fill, ready
from tests.makers.panels import merged, remedies

SOUND = {"examined": 3, "leaking": 0, "marred": 0, "appearance": "full, lids tight, labels even"}


@pytest.fixture
def jar(client: Client, store: Store) -> str:
    ready(client, store)
    number: str = fill(client)["lot"]
    return number


def test_sound_packs_flag_nothing_and_show_the_check_of_the_fill(client: Client, jar: str) -> None:
    made = client.made(f"/v1/lots/{jar}/examinations", SOUND)
    assert (made["sound"], made["fill_check"], made["flags"]) == (True, "pass", [])
    assert made["summary"] == f"3 packs of {jar} looked at: all sound."
    (row,) = client.read(f"/v1/lots/{jar}/examinations")["data"]
    assert {name: row[name] for name in SOUND} == SOUND


def test_a_leak_and_a_dent_each_open_a_deviation(client: Client, jar: str) -> None:
    found = {**SOUND, "leaking": 1, "marred": 2, "appearance": "one lid askew, two dented"}
    made = client.made(f"/v1/lots/{jar}/examinations", found)
    assert [flag["code"] for flag in made["flags"]] == ["packs-leak", "packs-marred"]
    assert made["flags"][0]["text"] == f"1 of 3 packs of {jar} leak: one lid askew, two dented"
    assert not made["sound"]


def test_more_packs_than_were_filled_are_a_slip(client: Client, jar: str) -> None:
    sent = {**SOUND, "examined": 30}
    refused = client.post(f"/v1/lots/{jar}/examinations", sent)
    assert refused.json()["errors"][0]["code"] == "more-than-packs"
    (way,) = remedies(refused)
    assert client.made(f"/v1/lots/{jar}/examinations", merged(sent, way["send"]))["examined"] == 3


@pytest.mark.parametrize("name", ["leaking", "marred"])
def test_more_faults_than_packs_are_a_slip(client: Client, jar: str, name: str) -> None:
    fault = client.post(f"/v1/lots/{jar}/examinations", {**SOUND, name: 4}).json()["errors"][0]
    assert (fault["code"], fault["pointer"]) == ("more-than-examined", f"#/{name}")


def test_a_kettle_has_no_packs_to_look_at(client: Client, jar: str) -> None:
    answer = client.post(f"/v1/lots/{BULK}/examinations", SOUND)
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/not-filled")


def test_a_correction_opens_only_what_is_new(client: Client, jar: str) -> None:
    old = client.made(f"/v1/lots/{jar}/examinations", {**SOUND, "leaking": 1})["entry"]
    at = f"/v1/lots/{jar}/examinations/{old}/corrections"
    too_many = {"replaces": {"leaking": 5}, "reason": "counted again"}
    assert client.post(at, too_many).json()["errors"][0]["code"] == "more-than-examined"
    new = client.made(at, {"replaces": {"leaking": 2, "marred": 1}, "reason": "counted again"})
    assert (new["leaking"], new["corrects"]) == (2, old)
    assert [flag["code"] for flag in new["flags"]] == ["packs-marred"]
