"""The trail filtered, and taken out as a file."""

import csv
import io
import json
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.office.audit.rules import FIRST, link_digest
from service.store.session import Store
from tests.client import Client, dump, key_for

EXPORT = "/v1/audit-entries/export"


def people(client: Client) -> None:
    for code in ("MB", "TR"):
        client.made("/v1/people", {"code": code})
    client.made("/v1/equipment", {"code": "KETTLE-5", "kind": "kettle", "name": "=small"})


def listed(client: Client, asked: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = client.read(f"/v1/audit-entries?{asked}")["data"]
    return found


def lines(client: Client, asked: str = "") -> list[dict[str, Any]]:
    answer = client.get(f"{EXPORT}?{asked}")
    assert answer.headers["content-type"] == "application/x-ndjson"
    return [json.loads(line) for line in answer.text.splitlines()]


def test_the_trail_is_asked_for_by_key_person_kind_code_and_time(
    client: Client, store: Store
) -> None:
    people(client)
    mara = Client(client.app, key_for(store, ["write"], person="MB"))
    mara.made("/v1/materials", {"code": "ROSIN", "kind": "ingredient"})
    assert {row["subject"] for row in listed(client, "by=MB")} == {"ROSIN"}
    assert mara.key is not None
    assert listed(client, f"key_id={mara.key[4:12]}") == listed(client, "by=MB")
    assert {row["kind"] for row in listed(client, "subject=TR")} == {"people"}
    at = listed(client, "by=MB")[0]["at"]
    assert {row["by"] for row in listed(client, f"at_from={at}&kind=materials")} == {"MB"}
    assert listed(client, "at_to=2020-01-01T00:00:00Z") == []
    assert client.get("/v1/audit-entries?act=mended").status_code == 422


def test_the_whole_trail_comes_as_lines_in_the_order_of_the_chain(client: Client) -> None:
    people(client)
    found = lines(client)
    assert [row["link"] for row in found] == sorted(row["link"] for row in found)
    assert found[::-1] == listed(client, "sort=-link&limit=500")
    assert lines(client, "kind=equipment")[0]["subject"] == "KETTLE-5"
    assert lines(client, "kind=nothing") == []


def test_a_row_of_the_table_is_an_entry_and_no_formula(client: Client) -> None:
    people(client)
    client.made("/v1/materials", {"code": "ROSIN", "kind": "ingredient"})
    answer = client.get(f"{EXPORT}?form=csv")
    assert answer.headers["content-type"].startswith("text/csv")
    assert "audit-entries.csv" in answer.headers["content-disposition"]
    rows = list(csv.DictReader(io.StringIO(answer.text, newline="")))
    entries = lines(client)
    assert [row["subject"] for row in rows] == [entry["subject"] for entry in entries]
    told = [json.loads(row["after"]) for row in rows if row["after"]]
    assert told == [entry["after"] for entry in entries if entry["after"] is not None]
    assert not [cell for row in rows for cell in row.values() if cell[:1] in set("=+-@")]


def test_more_entries_than_a_page_holds_all_come(client: Client) -> None:
    rows = [{"code": f"PERSON-{number}"} for number in range(1, 1203)]
    client.made("/v1/imports/people", rows)
    assert len(lines(client, "kind=people")) == 1202


def test_a_file_has_no_pages_and_only_who_administers_has_it(client: Client, store: Store) -> None:
    assert client.get(f"{EXPORT}?limit=3").status_code == 400
    assert client.get(f"{EXPORT}?form=xlsx").status_code == 422
    reader = Client(client.app, key_for(store, ["read"]))
    assert reader.get(EXPORT).status_code == 403


ENTRY = st.dictionaries(
    st.sampled_from(["kind", "subject", "act"]), st.text(max_size=8), min_size=1
)


@settings(
    max_examples=50, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(first=st.lists(ENTRY, min_size=1, max_size=4), other=st.lists(ENTRY, min_size=1, max_size=4))
def test_other_entries_give_another_digest(
    first: list[dict[str, str]], other: list[dict[str, str]]
) -> None:
    assert (link_digest(FIRST, first) == link_digest(FIRST, other)) == (first == other)
    assert link_digest(FIRST, first) != link_digest(link_digest(FIRST, first), first)


def test_reading_the_trail_leaves_none(client: Client, store: Store) -> None:
    people(client)
    before = dump(store)["audit_entries"]
    lines(client)
    assert dump(store)["audit_entries"] == before
