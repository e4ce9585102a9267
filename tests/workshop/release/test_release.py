"""Release and rejection through HTTP: refused with reasons, done in one act."""

from collections.abc import Callable
from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client
from tests.makers import jars
from tests.makers.panels import merged, remedies

BY = {"by": "MB"}
ALL = {"with_bulk": True, "by": "MB"}


def codes(answer: Any) -> list[str]:
    return [fault["code"] for fault in answer.json()["errors"]]


def release(client: Client, number: str, body: Any) -> Any:
    return client.post(f"/v1/lots/{number}/releases", body)


def test_a_release_publishes_the_sheet_and_frees_both_lots(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.packed(client, store)
    jars.labelled(client, number)
    made = client.made(f"/v1/lots/{number}/releases", ALL)
    assert (made["quality"], made["sheet"], made["sheet_revision"]) == (
        "released",
        f"/l/{number}",
        1,
    )
    assert made["act"].startswith("A-")
    assert (made["label"], made["assumed"]) == (1, {"label": 1})
    assert made["summary"] == f"{number} released by MB, sheet 1 published."
    assert client.read(f"/v1/lots/{jars.BULK}")["quality"] == "released"
    assert public.read(made["sheet"] + ".json")["lot"] == number
    acts = client.read(f"/v1/lots/{number}/acts")["data"]
    assert [(act["act"], act["what"], act["by"]) for act in acts] == [
        (made["act"], "release", "MB")
    ]


def test_readiness_and_a_dry_run_agree(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    steps: list[Callable[[], Any]] = [
        lambda: client.made(f"/v1/lots/{number}/labels", BY),
        lambda: client.made(
            f"/v1/lots/{number}/labellings", {"printed": 9, "used": 8, "spoiled": 0}
        ),
        lambda: client.made(f"/v1/lots/{jars.BULK}/releases", BY),
        lambda: client.patch("/v1/workshop", {"telephone": "+44 1632 960999"}),
    ]
    seen = []
    for step in (None, *steps):
        if step:
            step()
        ready = client.read(f"/v1/lots/{number}/readiness")
        dry = client.post(f"/v1/lots/{number}/releases?dry_run=true", BY)
        listed = [(one["code"], one["detail"]) for one in ready["stands_against"]]
        told = [(fault["code"], fault["detail"]) for fault in dry.json()["errors"]]
        assert told == listed
        assert dry.status_code == 409
        seen.append([code for code, _ in listed])
    assert seen == [
        ["bulk-not-released", "label-not-frozen"],
        ["bulk-not-released"],
        ["deviation-open", "bulk-not-released"],
        ["deviation-open"],
        ["deviation-open", "label-differs"],
    ]


def test_a_dry_run_of_a_ready_lot_writes_nothing(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.packed(client, store)
    jars.labelled(client, number)
    dry = client.post(f"/v1/lots/{number}/releases?dry_run=true", ALL)
    assert (dry.status_code, dry.json()["act"], dry.json()["dry_run"]) == (200, None, True)
    assert public.get(f"/l/{number}.json").status_code == 404
    assert client.read(f"/v1/lots/{number}")["quality"] == "quarantine"


def test_each_remedy_of_a_refusal_goes(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    jars.labelled(client, number)
    client.patch("/v1/workshop", {"telephone": "+44 1632 960999"})
    answer = release(client, number, BY)
    assert codes(answer) == ["bulk-not-released", "label-differs"]
    body: Any = BY
    for way in remedies(answer):
        body = merged(body, way["send"])
    assert release(client, number, body).status_code == 201


def test_somebody_must_do_it(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    jars.labelled(client, number)
    answer = release(client, number, {"with_bulk": True})
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/person-needed")
    way = remedies(answer)[0]
    assert release(client, number, merged({"with_bulk": True}, way["send"])).status_code == 201


def test_an_open_deviation_of_the_bulk_holds_the_jars_up(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    jars.labelled(client, number)
    client.made(f"/v1/lots/{number}/labellings", {"printed": 3, "used": 1, "spoiled": 1})
    answer = release(client, number, ALL)
    assert set(codes(answer)) == {"deviation-open"}
    for fault in answer.json()["errors"]:
        path = fault["hint"].removeprefix("POST ")
        client.made(path, {"text": "counted again, all found", **BY})
    assert release(client, number, ALL).status_code == 201


def test_a_label_without_its_supplier_holds_it_up_and_hazard_classes_never_do(
    client: Client, store: Store
) -> None:
    number = jars.packed(client, store)
    client.patch("/v1/workshop", {"telephone": None})
    client.made(f"/v1/lots/{number}/labels", BY)
    answer = release(client, number, {**ALL, "waiver": "no telephone in the shed"})
    assert codes(answer) == ["label-undecided"]
    assert answer.json()["errors"][0]["hint"] == "PATCH /v1/workshop"
    client.patch("/v1/workshop", {"telephone": "+44 1632 960123"})
    client.made(f"/v1/lots/{number}/labels", BY)
    assert release(client, number, ALL).status_code == 201


def test_a_bulk_lot_is_released_alone(client: Client, store: Store) -> None:
    jars.workshop(client)
    bulk = jars.kettle(client, store)
    made = client.made(f"/v1/lots/{bulk}/releases", {**BY, "condition": "for oars only"})
    assert (made["sheet"], made["label"], made["condition"]) == (None, None, "for oars only")
    assert codes(release(client, bulk, BY)) == ["already-released"]


def test_what_is_released_is_not_released_again(client: Client, store: Store) -> None:
    number = jars.released(client, store)
    assert codes(release(client, number, ALL)) == ["already-released"]


def test_rejected_leads_nowhere(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    made = client.made(f"/v1/lots/{number}/rejections", {"reason": "grit", **BY})
    assert (made["what"], made["quality"], made["reason"]) == ("reject", "rejected", "grit")
    again = client.post(f"/v1/lots/{number}/rejections", {"reason": "grit", **BY})
    assert (again.status_code, again.json()["type"]) == (409, "/problems/already-rejected")
    assert "not-releasable" in codes(release(client, number, ALL))


def test_jars_of_a_rejected_kettle_stay(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    jars.labelled(client, number)
    client.made(f"/v1/lots/{jars.BULK}/rejections", {"reason": "gelled", **BY})
    assert codes(release(client, number, ALL)) == ["bulk-not-releasable"]


def test_the_label_on_the_jar_may_be_an_older_one(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    jars.labelled(client, number)
    client.made(f"/v1/lots/{number}/labels", BY)
    made = client.made(f"/v1/lots/{number}/releases", {**ALL, "label": 1})
    assert made["label"] == 1
    assert "label" not in made["assumed"]


def test_a_label_that_was_frozen_after_the_count_is_not_on_the_jars(
    client: Client, store: Store
) -> None:
    number = jars.packed(client, store)
    jars.labelled(client, number)
    client.patch("/v1/workshop", {"telephone": "+44 1632 960999"})
    client.made(f"/v1/lots/{number}/labels", BY)
    assert codes(release(client, number, ALL)) == ["label-differs"]
    client.made(f"/v1/lots/{number}/labellings", {"printed": 8, "used": 0, "spoiled": 8})
    assert "label-differs" in codes(release(client, number, ALL))
    client.made(f"/v1/lots/{number}/labellings", {"printed": 8, "used": 8, "spoiled": 0})
    for found in client.read("/v1/deviations?open=true")["data"]:
        said = {"text": "The first labels were taken off.", **BY}
        client.made(f"/v1/deviations/{found['deviation']}/conclusions", said)
    assert client.made(f"/v1/lots/{number}/releases", ALL)["label"] == 2


def test_a_kettle_released_with_its_jars_has_an_act_of_its_own(
    client: Client, store: Store
) -> None:
    number = jars.released(client, store)
    (act,) = client.read(f"/v1/lots/{jars.BULK}/acts")["data"]
    assert (act["what"], act["by"], act["sheet"]) == ("release", "MB", None)
    assert act["reason"] == f"In one act with {number}."


@pytest.mark.parametrize("body", [{"label": 9, **ALL}])
def test_a_label_that_is_not_frozen_is_refused(client: Client, store: Store, body: Any) -> None:
    number = jars.packed(client, store)
    answer = release(client, number, body)
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/label-not-frozen")
