"""Every way an error can leave: one shape, one registry, one page for each kind."""

import logging
from typing import Any

import pytest
from fastapi import APIRouter

from service.errors import registry
from service.store.session import Store
from service.web.route import Route
from tests import operations
from tests.client import SCOPES, Client, key_for
from tests.operations import Operation

MEMBERS = {"type", "title", "status", "detail", "instance", "request_id"}


def problem(answer: Any, status: int, slug: str) -> dict[str, Any]:
    """The body of an answer that must be this problem."""
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    body: dict[str, Any] = answer.json()
    assert set(body) >= MEMBERS
    assert body["status"] == status
    assert body["type"] == f"/problems/{slug}"
    assert body["title"] == registry()[slug].title
    assert body["request_id"] == answer.headers["x-request-id"]
    return body


def test_each_kind_of_problem_has_its_page_in_both_forms(public: Client) -> None:
    for slug, kind in registry().items():
        shown = public.read(f"/problems/{slug}")
        assert shown["title"] == kind.title
        assert shown["about"]
        page = public.get(f"/problems/{slug}", headers={"Accept": "text/html"})
        assert page.status_code == 200
        assert page.headers["content-type"].startswith("text/html")
    assert len(public.read("/problems")["data"]) == len(registry())


def test_no_two_kinds_of_problem_share_a_slug() -> None:
    def family(kind: Any) -> list[Any]:
        return [kind, *(inner for child in kind.__subclasses__() for inner in family(child))]

    kinds = family(registry()["refused"])
    assert len({kind.slug for kind in kinds}) == len(kinds)


def test_an_unknown_kind_of_problem_is_a_problem(public: Client) -> None:
    problem(public.get("/problems/none-such"), 404, "problem-unknown")


@pytest.mark.parametrize("path", ["/v2", "/v1", "/v1/none", "/favicon.ico", "/v1/people/a/b"])
def test_an_address_that_is_none_is_a_problem(client: Client, path: str) -> None:
    problem(client.get(path), 404, "not-found")


@pytest.mark.parametrize("operation", operations.KEYED, ids=str)
def test_without_a_key_nothing_but_the_public_face_answers(
    public: Client, operation: Operation
) -> None:
    answer = public.request(operation.method, operation.path_of())
    problem(answer, 401, "key-needed")
    assert "Bearer" in answer.headers["www-authenticate"]
    assert "Basic" in answer.headers["www-authenticate"]


@pytest.mark.parametrize("path", sorted({o.path for o in operations.ALL}))
def test_a_method_that_an_address_does_not_take_is_named(client: Client, path: str) -> None:
    taken = {o.method for o in operations.ALL if o.path == path}
    sample = next(o for o in operations.ALL if o.path == path).path_of()
    answer = client.request("PROPFIND", sample)
    problem(answer, 405, "method-not-allowed")
    allowed = set(answer.headers["allow"].split(", "))
    assert allowed == taken | {"OPTIONS"} | ({"HEAD"} if "GET" in taken else set())


def test_every_operation_declares_its_problems_as_problems() -> None:
    shared = operations.DOCUMENT["components"]["responses"]
    for operation in operations.EVERY:
        assert {"400", "404", "405", "422", "500", "503"} <= set(operation.drawn["responses"])
        for status, answer in operation.drawn["responses"].items():
            if status >= "400":
                answer = shared[answer["$ref"].rsplit("/", 1)[1]] if "$ref" in answer else answer
                assert list(answer["content"]) == ["application/problem+json"], operation
                assert answer["description"], operation


def test_a_form_nobody_serves_is_not_acceptable(public: Client) -> None:
    answer = public.get("/", headers={"Accept": "image/png"})
    problem(answer, 406, "not-acceptable")


@pytest.mark.parametrize(
    ("accept", "form"),
    [
        ("*/*", "application/json"),
        ("text/html,application/xhtml+xml,*/*;q=0.8", "text/html"),
        ("text/*", "text/html"),
        ("application/json;q=0.9, text/html;q=0.5", "application/json"),
        ("text/html;q=0, application/json", "application/json"),
        ("text/html;q=², application/json", "application/json"),
    ],
)
def test_the_form_follows_what_is_asked_for(public: Client, accept: str, form: str) -> None:
    answer = public.get("/", headers={"Accept": accept.encode("latin-1")})
    assert answer.headers["content-type"].startswith(form)


@pytest.fixture
def crashing(app: Any, client: Client) -> Client:
    """A client on an app with one more route, which fails."""
    router = APIRouter(route_class=Route)

    @router.get("/v1/fall", operation_id="get_root")
    def fall_over() -> None:
        raise RuntimeError("secret words of the inside")

    app.router.routes.extend(router.routes)
    return client


def test_a_crash_is_a_problem_without_its_inside(
    crashing: Client, caplog: pytest.LogCaptureFixture
) -> None:
    logger = logging.getLogger("kettlemark")
    logger.addHandler(caplog.handler)
    answer = crashing.get("/v1/fall", headers={"X-Request-Id": "river-0001"})
    logger.removeHandler(caplog.handler)
    body = problem(answer, 500, "internal")
    assert body["request_id"] == "river-0001"
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    assert "river-0001" in caplog.text
    assert "secret words" in caplog.text


def test_a_crash_outside_any_route_is_a_problem_too(app: Any, public: Client) -> None:
    @app.router.route("/bare")
    async def bare(request: Any) -> None:
        raise RuntimeError("outside")

    answer = public.get("/bare")
    problem(answer, 500, "internal")
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_a_key_of_a_worker_is_refused_with_the_scope_that_is_missing(
    app: Any, store: Store
) -> None:
    client = Client(app, key_for(store, [scope for scope in SCOPES if scope != "admin"]))
    body = problem(client.get("/v1/keys"), 403, "scope-needed")
    assert body["needs"] == "admin"


def test_a_database_that_is_gone_is_a_503_with_retry_after(client: Client, store: Store) -> None:
    with store.writer.begin() as connection:
        connection.exec_driver_sql("alter table people rename to elsewhere")
    answer = client.get("/v1/people")
    problem(answer, 503, "storage")
    assert int(answer.headers["retry-after"]) > 0


@pytest.mark.parametrize("sent", ["short", "ä" * 12, "a b c d e f g h", "x" * 100])
def test_a_request_id_is_taken_over_only_in_its_form(public: Client, sent: str) -> None:
    answer = public.get("/", headers={"X-Request-Id": sent.encode("latin-1")})
    assert answer.headers["x-request-id"] != sent
