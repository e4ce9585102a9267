"""If-Match guards the state of a named thing; If-None-Match saves sending what did not change."""

import asyncio
from typing import Any

import httpx
import pytest

from tests import operations
from tests.client import Client
from tests.operations import Operation

CONDITIONAL = tuple(o for o in operations.WRITING if o.method in {"PATCH", "PUT", "DELETE"})
# Content is put under its own digest: there is no other state to overwrite.
NEED_NONE = {"put_attachment"}
OIL = {"code": "OIL-LIN", "kind": "ingredient"}
PATH = "/v1/materials/OIL-LIN"


@pytest.fixture
def tag(client: Client) -> str:
    """The ETag of a material that stands."""
    client.made("/v1/materials", OIL)
    found: str = client.get(PATH).headers["etag"]
    return found


@pytest.mark.parametrize("operation", CONDITIONAL, ids=str)
def test_every_change_of_a_named_thing_takes_if_match(operation: Operation) -> None:
    assert operation.conditional or operation.name in NEED_NONE
    assert not operation.conditional or {"412", "428"} <= set(operation.drawn["responses"])


def test_a_change_without_if_match_is_told_the_tag_to_send(client: Client, tag: str) -> None:
    answer = client.patch(PATH, {"name": "linseed"}, etag=None)
    assert answer.status_code == 428
    named = answer.json()["etag"]
    assert answer.headers["etag"] == named
    assert named in answer.json()["detail"]
    assert client.patch(PATH, {"name": "linseed"}, etag=named).status_code == 200
    assert client.request("DELETE", PATH).status_code == 428


def test_the_tag_of_a_change_is_the_tag_of_what_is_read_after_it(client: Client, tag: str) -> None:
    changed = client.patch(PATH, {"name": "linseed"}, etag=tag)
    read = client.get(PATH)
    assert changed.headers["etag"] == read.headers["etag"] != tag
    assert changed.json() == read.json()


def test_a_stale_tag_is_refused_with_the_present_one(client: Client, tag: str) -> None:
    client.patch(PATH, {"name": "linseed"}, etag=tag)
    answer = client.patch(PATH, {"name": "other"}, etag=tag)
    assert answer.status_code == 412
    assert client.patch(PATH, {"name": "other"}, etag=answer.json()["etag"]).status_code == 200


def test_a_star_changes_whatever_is_there(client: Client, tag: str) -> None:
    assert client.patch(PATH, {"name": "linseed"}, etag="*").status_code == 200
    assert client.patch("/v1/materials/NONE", {"name": "x"}, etag="*").status_code == 404


@pytest.mark.parametrize(
    ("form", "status"),
    [
        ("W/{}", 412),
        ('"OIL-LIN.10"', 412),
        ('"OIL-LIN"', 412),
        ('"OTHER.1"', 412),
        ('"", {}', 200),
        ('"OTHER.1" , {}', 200),
        ("OIL-LIN.1", 400),
        ("*, {}", 400),
        ("", 400),
        ('"', 400),
    ],
)
def test_if_match_is_compared_strongly(client: Client, tag: str, form: str, status: int) -> None:
    answer = client.patch(PATH, {"name": "linseed"}, etag=form.format(tag) or " ")
    assert answer.status_code == status, answer.text
    assert client.read(PATH)["name"] == ("linseed" if status == 200 else "OIL-LIN")


def test_of_two_that_race_one_wins(app: Any, client: Client, tag: str) -> None:
    headers = {"If-Match": tag, "Authorization": f"Bearer {client.key}"}

    async def race() -> list[httpx.Response]:
        transport = httpx.ASGITransport(app)
        async with httpx.AsyncClient(transport=transport, base_url="http://test") as racer:
            names = ({"name": "first"}, {"name": "second"})
            return await asyncio.gather(
                *(racer.patch(PATH, json=name, headers=headers) for name in names)
            )

    answers = sorted(asyncio.run(race()), key=lambda answer: answer.status_code)
    assert [answer.status_code for answer in answers] == [200, 412]
    assert client.read(PATH)["name"] == answers[0].json()["name"]


def test_what_did_not_change_is_not_sent_again(client: Client, tag: str) -> None:
    for path in (PATH, "/v1/materials", "/v1/figures", "/openapi.json", "/"):
        full = client.get(path)
        for sent in (full.headers["etag"], f'"none", {full.headers["etag"]}', "*"):
            answer = client.get(path, headers={"If-None-Match": sent})
            assert answer.status_code == 304, path
            assert answer.content == b""
            for name in ("etag", "cache-control"):
                assert answer.headers[name] == full.headers[name]
        assert client.get(path, headers={"If-None-Match": '"none"'}).status_code == 200


def test_a_figure_recorded_shows_at_once_in_the_material(client: Client, tag: str) -> None:
    figure = {"property": "density", "value": "0.93 kg/l", "basis": "measured", "method": "own"}
    client.made(f"{PATH}/figures", figure)
    answer = client.get(PATH, headers={"If-None-Match": tag})
    assert answer.status_code == 200
    assert answer.json()["figures"]
    assert client.patch(PATH, {"name": "linseed"}, etag=tag).status_code == 200
