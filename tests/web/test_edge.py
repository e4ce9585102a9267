"""What every answer bears, and the methods and spellings that every address takes."""

import pytest

from tests import operations
from tests.client import Client
from tests.operations import Operation

PUBLIC = ("/problems", "/problems/stale", "/health/live", "/openapi.json", "/l/none", "/p/none")
SAFE = {
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
}
CORS = "access-control-allow-origin"


@pytest.mark.parametrize("operation", operations.READING, ids=str)
def test_head_is_get_without_its_body(client: Client, operation: Operation) -> None:
    path = operation.path_of()
    got, head = client.get(path), client.request("HEAD", path)
    assert head.status_code == got.status_code
    assert head.content == b""
    changing = {"x-request-id", "content-length", "ratelimit"}
    assert {n: v for n, v in head.headers.items() if n not in changing} == {
        n: v for n, v in got.headers.items() if n not in changing
    }
    # A stream does not know its length; a problem names its own request.
    same = got.headers.get("content-length") == head.headers.get("content-length")
    assert same or got.status_code >= 400


@pytest.mark.parametrize("operation", operations.READING, ids=str)
def test_a_slash_at_the_end_is_served_without_a_redirect(
    client: Client, operation: Operation
) -> None:
    path = operation.path_of()
    with_slash = client.get(path + "/")
    assert with_slash.status_code == client.get(path).status_code


@pytest.mark.parametrize("operation", operations.ALL, ids=str)
def test_options_names_the_methods_of_an_address(client: Client, operation: Operation) -> None:
    answer = client.request("OPTIONS", operation.path_of())
    assert answer.status_code == 204
    assert operation.method in answer.headers["allow"].split(", ")
    assert answer.content == b""


@pytest.mark.parametrize("operation", operations.ALL, ids=str)
def test_every_answer_bears_the_safe_headers(client: Client, operation: Operation) -> None:
    headers = client.request(operation.method, operation.path_of()).headers
    assert {name: headers[name] for name in SAFE} == SAFE
    assert "frame-ancestors 'none'" in headers["content-security-policy"]
    assert "cache-control" in headers
    assert "x-request-id" in headers


@pytest.mark.parametrize("operation", operations.KEYED, ids=str)
def test_what_needs_a_key_is_never_shared(client: Client, operation: Operation) -> None:
    for method in (operation.method, "OPTIONS"):
        answer = client.request(method, operation.path_of(), headers={"Origin": "https://a.test"})
        assert not [name for name in answer.headers if name.startswith("access-control")]
        assert "public" not in answer.headers.get("cache-control", "")


@pytest.mark.parametrize("path", PUBLIC)
def test_the_public_face_may_be_read_from_any_page(public: Client, path: str) -> None:
    assert public.get(path).headers[CORS] == "*"
    assert public.get(path.upper()).headers[CORS] == "*"
    preflight = public.request(
        "OPTIONS",
        path,
        headers={
            "Origin": "https://a.test",
            "Access-Control-Request-Method": "GET",
            "Access-Control-Request-Headers": "if-none-match",
        },
    )
    assert preflight.status_code == 204
    assert "If-None-Match" in preflight.headers["access-control-allow-headers"]


@pytest.mark.parametrize("path", ["/lots", "/people", "/problemsome", "/", "/docs", "/v1/l/x"])
def test_a_name_that_only_begins_like_the_public_face_is_not_shared(
    public: Client, path: str
) -> None:
    assert CORS not in public.get(path).headers


@pytest.mark.parametrize("path", ["/", "/problems", "/problems/stale"])
def test_a_page_of_two_forms_says_so_and_both_may_be_kept(public: Client, path: str) -> None:
    for accept in ("application/json", "text/html"):
        answer = public.get(path, headers={"Accept": accept})
        assert answer.headers["content-type"].startswith(accept)
        assert answer.headers["cache-control"] == "public, max-age=60"
        assert answer.headers["vary"] == "Accept"
        same = {"Accept": accept, "If-None-Match": answer.headers["etag"]}
        assert public.get(path, headers=same).status_code == 304
        other = "text/html" if accept == "application/json" else "application/json"
        assert public.get(path, headers={**same, "Accept": other}).status_code == 200


@pytest.mark.parametrize("path", ["/health/live", "/health/ready"])
def test_health_is_never_kept(public: Client, path: str) -> None:
    assert public.get(path).headers["cache-control"] == "no-store"
