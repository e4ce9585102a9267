"""Lists: every row that stays is seen once, whatever comes and goes while one walks."""

import base64
import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import inspect

from service.store.lists import MOST, Ask, BadCursor, Listing, page
from service.store.migrate import all_tables
from service.store.session import Store
from tests.client import Client, system
from tests.store.listings import every_listing

# Each example walks a list through HTTP, on one database that it empties first.
FEW = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.mark.parametrize("listing", every_listing(), ids=lambda listing: listing.name)
def test_sort_columns_are_never_null_and_filters_are_columns(listing: Listing[Any]) -> None:
    all_tables()
    columns = inspect(listing.row).columns
    for name in listing.sorts:
        assert columns[name].nullable == (name in listing.partial), name
        assert listing.kind(name)
    assert listing.default_sort.removeprefix("-") in listing.sorts
    for name in (*listing.filters, *listing.times):
        assert name in columns or listing.column(name).key in columns, name


def walked(client: Client, path: str) -> list[dict[str, Any]]:
    """Every row, by following `next`."""
    rows: list[dict[str, Any]] = []
    while path:
        answer = client.get(path)
        assert answer.status_code == 200, answer.text
        body = answer.json()
        assert answer.links.get("next", {}).get("url") == body["next"]
        rows += body["data"]
        path = body["next"]
    return rows


@FEW
@given(
    limit=st.integers(1, 5),
    sort=st.sampled_from(["code", "-code", "kind", "-kind", "created_at", "-created_at"]),
    moves=st.lists(st.tuples(st.booleans(), st.integers(0, 29)), max_size=12),
)
def test_rows_that_stay_are_seen_exactly_once(
    client: Client, limit: int, sort: str, moves: list[tuple[bool, int]]
) -> None:
    path = "/v1/equipment"
    for row in walked(client, path):
        client.request("DELETE", f"{path}/{row['code']}", headers={"If-Match": "*"})
    staying = {f"KETTLE-{n:02d}" for n in range(0, 30, 3)}
    for number, code in enumerate(sorted(staying)):
        client.made(path, {"code": code, "kind": ("kettle", "balance")[number % 2]})
    seen: list[str] = []
    following = f"{path}?limit={limit}&sort={sort}"
    while following:
        body = client.read(following)
        seen += [row["code"] for row in body["data"]]
        following = body["next"]
        for adds, number in moves[:3]:
            code = f"KETTLE-{number:02d}"
            if code in staying:
                continue
            if adds:
                client.post(path, {"code": code, "kind": "kettle"})
            else:
                client.request("DELETE", f"{path}/{code}", headers={"If-Match": "*"})
        moves = moves[3:]
    assert sorted(code for code in seen if code in staying) == sorted(staying)
    assert "code" not in sort or len(seen) == len(set(seen))


@pytest.fixture
def shelf(client: Client) -> Client:
    """A client on a shop with some materials."""
    for code, name, kind in (
        ("RESIN-DAM", "Dammar, größere Körner", "ingredient"),
        ("OIL-TUNG", "tung oil", "ingredient"),
        ("OIL-LIN", "Linseed Oil, refiné", "ingredient"),
        ("JAR-250", "jar 250 ml", "container"),
        ("LID-63", "100%_lid", "closure"),
    ):
        client.made("/v1/materials", {"code": code, "name": name, "kind": kind})
    client.patch("/v1/materials/LID-63", {"archived": True})
    return client


def codes(client: Client, query: str) -> list[str]:
    return [row["code"] for row in client.read(f"/v1/materials?{query}")["data"]]


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("", ["JAR-250", "OIL-LIN", "OIL-TUNG", "RESIN-DAM"]),
        ("sort=-code", ["RESIN-DAM", "OIL-TUNG", "OIL-LIN", "JAR-250"]),
        ("q=OIL", ["OIL-LIN", "OIL-TUNG"]),
        ("q=refine", ["OIL-LIN"]),
        ("q=refin%C3%A9+lins", ["OIL-LIN"]),
        ("q=GROSSERE", ["RESIN-DAM"]),
        ("q=%25", []),
        ("q=%25&archived=all", ["LID-63"]),
        ("q=l_d&archived=all", []),
        ("archived=yes", ["LID-63"]),
        ("kind=container", ["JAR-250"]),
        ("kind=container&q=tung", []),
    ],
)
def test_a_list_shows_what_is_asked_for(shelf: Client, query: str, found: list[str]) -> None:
    assert codes(shelf, query) == found


@pytest.mark.parametrize("limit", ["0", "-1", str(MOST + 1), "1.5", "ten", ""])
def test_a_limit_outside_its_bounds_is_refused(client: Client, limit: str) -> None:
    answer = client.get(f"/v1/materials?limit={limit}")
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["parameter"] == "limit"


def test_the_bounds_of_a_limit_are_taken(shelf: Client) -> None:
    assert len(walked(shelf, "/v1/materials?limit=1")) == 4
    assert len(walked(shelf, f"/v1/materials?limit={MOST}")) == 4


def test_a_cursor_is_good_for_its_own_list_only(shelf: Client) -> None:
    shelf.made("/v1/people", {"code": "MARA"})
    cursor = shelf.read("/v1/materials?limit=1")["next"].rsplit("cursor=", 1)[1]
    for path in (
        f"/v1/materials?limit=1&sort=-code&cursor={cursor}",
        f"/v1/materials?limit=1&kind=container&cursor={cursor}",
        f"/v1/materials?limit=1&q=oil&cursor={cursor}",
        f"/v1/people?limit=1&cursor={cursor}",
        f"/v1/equipment?limit=1&cursor={cursor}",
    ):
        answer = shelf.get(path)
        assert answer.status_code == 400, path
        assert answer.json()["type"] == "/problems/bad-cursor"
    assert shelf.get(f"/v1/materials?limit=3&cursor={cursor}").status_code == 200


def test_a_cursor_that_was_touched_is_refused(shelf: Client) -> None:
    cursor = shelf.read("/v1/materials?limit=1")["next"].rsplit("cursor=", 1)[1]
    for place in range(0, len(cursor), 3):
        other = "A" if cursor[place] != "A" else "B"
        touched = cursor[:place] + other + cursor[place + 1 :]
        assert shelf.get(f"/v1/materials?limit=1&cursor={touched}").status_code == 400, place


@given(st.recursive(st.none() | st.integers() | st.text() | st.floats(), st.lists, max_leaves=6))
def test_no_forged_cursor_makes_a_list_fail(value: Any) -> None:
    text = base64.urlsafe_b64encode(json.dumps(value).encode()).decode()
    listing = every_listing()[0]
    store = Store("sqlite://")
    try:
        with store.reading(system()) as session, pytest.raises(BadCursor):
            page(session, listing, Ask(sort=listing.default_sort, cursor=text))
    finally:
        store.dispose()
