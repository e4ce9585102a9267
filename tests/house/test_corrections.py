"""Every kind of entry is corrected by the one mechanism, at an address of its own."""

from typing import Any

import pytest

from service.store import migrate
from service.store.faults import recorded
from tests.operations import DOCUMENT

# What stands in a table is corrected at these addresses.
ADDRESSES: dict[str, tuple[str, ...]] = {
    "adjustments": ("/v1/batches/{code}/adjustments/{number}/corrections",),
    "batch_events": ("/v1/batches/{code}/events/{entry}/corrections",),
    "batch_notes": ("/v1/batches/{code}/notes/{entry}/corrections",),
    "batch_stages": ("/v1/batches/{code}/stages/{number}/corrections",),
    "coats": ("/v1/panels/{code}/coats/{number}/corrections",),
    "colour_drops": ("/v1/batches/{code}/colour-ladder/{entry}/corrections",),
    "conclusions": ("/v1/deviations/{number}/conclusions/corrections",),
    "cook_logs": ("/v1/cook-logs/{log}/corrections",),
    "cook_points": (
        "/v1/batches/{code}/cook-points/{entry}/corrections",
        "/v1/equipment/{code}/cook-points/{entry}/corrections",
    ),
    "examinations": ("/v1/lots/{lot}/examinations/{entry}/corrections",),
    "figures": ("/v1/figures/{number}/corrections",),
    "fills": ("/v1/lots/{lot}/fills/corrections",),  # with the weights of its packs
    "labellings": ("/v1/lots/{lot}/labellings/{entry}/corrections",),
    "life_entries": ("/v1/lots/{lot}/life/{entry}/corrections",),
    "movements": ("/v1/movements/{movement}/corrections",),
    "pages": ("/v1/batches/{code}/pages/{number}/corrections",),  # their photo
    "place_checks": ("/v1/lots/{lot}/place-checks/{entry}/corrections",),
    "readings": ("/v1/readings/{number}/corrections",),
    "receipts": ("/v1/receipts/{number}/corrections",),
    "retargets": ("/v1/batches/{code}/retargets/{entry}/corrections",),
    "samples": ("/v1/lots/{lot}/samples/{entry}/corrections",),
    "stage_entries": ("/v1/batches/{code}/stages/{number}/entries/{entry}/corrections",),
    "step_entries": ("/v1/batches/{code}/lines/{number}/corrections",),
    "stock_counts": ("/v1/stock-takes/{number}/lines/{line}/corrections",),
    "top_ups": ("/v1/lots/{lot}/top-ups/{entry}/corrections",),
    "transitions": ("/v1/batches/{code}/transitions/{entry}/corrections",),
    "weighings": ("/v1/batches/{code}/lines/{number}/corrections",),
    "yields": ("/v1/batches/{code}/lines/{number}/corrections",),
}
# These are not corrected, and why.
LEFT_AS_THEY_ARE = {
    "acts": "an act leads forward: what was released is rejected, recalled or released anew",
    "deviations": "nobody enters one: it follows from an entry, and is answered by a conclusion",
}
# What the service worked out itself is taken back, and never said otherwise.
ONLY_VOIDED = {"/v1/batches/{code}/retargets/{entry}/corrections"}
Schema = dict[str, Any]


def tables() -> set[str]:
    migrate.all_tables()
    return {str(kind.__tablename__) for kind in recorded()}


def addresses() -> set[str]:
    return {path for path in DOCUMENT["paths"] if path.endswith("/corrections")}


def test_every_recorded_table_has_its_correction_or_a_reason() -> None:
    assert tables() == set(ADDRESSES) | set(LEFT_AS_THEY_ARE)
    assert not set(ADDRESSES) & set(LEFT_AS_THEY_ARE)


def test_every_correction_in_the_document_is_of_a_recorded_table() -> None:
    assert addresses() == {path for paths in ADDRESSES.values() for path in paths}


def body_of(path: str) -> Schema:
    operation = DOCUMENT["paths"][path]["post"]
    name = operation["requestBody"]["content"]["application/json"]["schema"]["$ref"]
    found: Schema = DOCUMENT["components"]["schemas"][name.rsplit("/", 1)[1]]
    return found


@pytest.mark.parametrize("path", sorted(addresses()))
def test_a_correction_replaces_or_voids_with_a_reason(path: str) -> None:
    body = body_of(path)
    assert {"void", "reason", "by"} <= set(body["properties"])
    corrects = {"replaces"} & set(body["properties"])
    assert corrects or (path in ONLY_VOIDED and body["properties"]["void"]["const"] is True)
    assert set(body["required"]) - {"void"} == {"reason"}
    assert body["additionalProperties"] is False
    assert "201" in DOCUMENT["paths"][path]["post"]["responses"]
