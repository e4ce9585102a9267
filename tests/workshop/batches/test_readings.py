"""What was measured in the pot: figures of a batch, at the end of a stage or at any time."""

from typing import Any

from service.store.session import Store
from tests.client import Client, key_for
from tests.makers.batches import planned, stocked

ACID = {"property": "acid_value", "value": "12.4 mg KOH/g", "basis": "measured"}
READ = {**ACID, "method": "titration against phenolphthalein"}


def batch(client: Client) -> str:
    """A resinate that is planned."""
    stocked(client)
    return planned(client, "RESIN-ZN", "1.2 kg")


def test_an_acid_value_after_the_cook_is_a_figure_of_the_batch(client: Client) -> None:
    code = batch(client)
    made = client.made(f"/v1/batches/{code}/figures", {**READ, "stage": "cook", "by": "MB"})
    assert (made["subject_kind"], made["subject"]) == ("batch", code)
    assert made["method"] == "after cook: titration against phenolphthalein"
    assert made["summary"] == f"Acid value of {code} after cook: 12.4 mg KOH/g."
    listed = client.read(f"/v1/batches/{code}/figures")["data"]
    assert [figure["figure"] for figure in listed] == [made["figure"]]


def test_a_stage_that_the_batch_does_not_go_through_is_refused_with_those_it_does(
    client: Client,
) -> None:
    path = f"/v1/batches/{batch(client)}/figures"
    answer = client.post(path, {**READ, "stage": "wash"})
    assert (answer.status_code, answer.json()["errors"][0]["pointer"]) == (422, "#/stage")
    for way in answer.json()["errors"][0]["remedies"]:
        assert client.made(path, {**READ, **way["send"]})


def test_a_measured_figure_still_needs_its_method(client: Client) -> None:
    answer = client.post(f"/v1/batches/{batch(client)}/figures", {**ACID, "stage": "cook"})
    assert answer.json()["errors"][0]["code"] == "evidence-missing"


def test_readings_are_for_those_who_record(client: Client, app: Any, store: Store) -> None:
    path = f"/v1/batches/{batch(client)}/figures"
    reader = Client(app, key_for(store, ["read"]))
    assert reader.post(path, READ).status_code == 403
    assert Client(app, key_for(store, ["read", "record"])).made(path, READ)
    assert client.post("/v1/batches/NONE-1/figures", READ).status_code == 404
