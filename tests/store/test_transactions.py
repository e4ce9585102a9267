"""One request, one transaction: what fails leaves nothing, and a reader cannot write."""

import logging
from typing import Any

import pytest
from fastapi import APIRouter
from sqlalchemy import insert
from sqlalchemy.exc import OperationalError
from starlette.responses import Response

from service.errors import Conflict
from service.office.people._tables import Person
from service.office.people.actions import create_person
from service.office.people.bodies import PersonIn
from service.store.numbers import draw
from service.store.session import Actor, Store, WriteSession
from service.web.route import Route
from service.web.sessions import Reading, Writing
from tests.client import Client, dump, system

NAMES = ("Mara Tidewater", "Mara Reedbank")
KEY = {"Idempotency-Key": "river-2026-0001"}


@pytest.fixture
def trying(app: Any, client: Client) -> Client:
    """A client on an app with routes that fail half way."""
    router = APIRouter(route_class=Route, prefix="/v1/trials")

    @router.post("/crash", operation_id="create_person")
    def crash(session: Writing) -> None:
        create_person(session, PersonIn(code="MARA"))
        draw(session, "trial")
        session.flush()
        raise RuntimeError("between two steps")

    @router.post("/refuse", operation_id="create_person")
    def refuse(session: Writing) -> None:
        create_person(session, PersonIn(code="MARA"))
        raise Conflict("after the first step")

    @router.post("/uncommittable", operation_id="create_person", status_code=201)
    def uncommittable(session: Writing, response: Response) -> dict[str, str]:
        create_person(session, PersonIn(code="MARA"))
        session.connection().exec_driver_sql("PRAGMA defer_foreign_keys=ON")
        session.connection().exec_driver_sql(
            "insert into audit_entries (link, at, operation, act, kind, subject) "
            "values (999, '2026-11-25 00:00:00', 'x', 'x', 'x', 'x')"
        )
        return {"made": "MARA"}

    app.router.routes.extend([*router.routes, *_slips().routes])
    return client


def _slips() -> APIRouter:
    """Routes that fail at what the database and the answer check."""
    router = APIRouter(route_class=Route, prefix="/v1/trials")

    @router.post("/unanswerable", operation_id="create_person")
    def unanswerable(session: Writing) -> int:
        create_person(session, PersonIn(code="MARA"))
        return "no number"  # type: ignore[return-value]  # the answer's own check is what fails

    @router.post("/twice", operation_id="create_person")
    def twice(session: Writing) -> None:
        create_person(session, PersonIn(code="MARA", name=NAMES[0]))
        session.connection().execute(insert(Person), [{"code": "MARA", "name": NAMES[1]}])

    @router.get("/write", operation_id="list_people")
    def write(session: Reading) -> None:
        create_person(session, PersonIn(code="MARA"))  # type: ignore[arg-type]  # as a slip would

    return router


@pytest.mark.parametrize(
    ("trial", "status"),
    [("crash", 500), ("refuse", 409), ("uncommittable", 500), ("unanswerable", 500)],
)
def test_a_request_that_fails_half_way_leaves_nothing(
    trying: Client, store: Store, trial: str, status: int
) -> None:
    before = dump(store)
    for _ in range(3):
        answer = trying.post(f"/v1/trials/{trial}", headers=KEY)
        assert answer.status_code == status
        assert answer.headers["content-type"] == "application/problem+json"
    assert dump(store) == before
    # The connection goes on to others: it must not carry anything over.
    assert trying.post("/v1/people", {"code": "MARA"}, headers=KEY).status_code == 201


def test_a_failure_of_the_database_is_logged_without_what_was_written(
    trying: Client, caplog: pytest.LogCaptureFixture
) -> None:
    logger = logging.getLogger("kettlemark")
    logger.addHandler(caplog.handler)
    assert trying.post("/v1/trials/twice").status_code == 500
    logger.removeHandler(caplog.handler)
    assert "IntegrityError" in caplog.text
    assert not [name for name in NAMES if name in caplog.text]
    assert str(trying.key) not in caplog.text


def test_a_route_that_reads_cannot_write(trying: Client, store: Store) -> None:
    before = dump(store)
    assert trying.get("/v1/trials/write").status_code >= 500
    assert dump(store) == before


@pytest.mark.parametrize(
    "statement",
    [
        "insert into people (code, revision, created_at, folded) values ('A', 1, '', '')",
        "update workshop set revision = 2",
        "delete from workshop",
        "create table more (id int)",
        "drop table workshop",
        "pragma user_version = 7",
    ],
)
def test_the_database_itself_keeps_a_reading_session_from_writing(
    store: Store, statement: str
) -> None:
    with store.reading(system()) as session, pytest.raises(OperationalError, match="readonly"):
        session.connection().exec_driver_sql(statement)


def test_a_reading_session_sees_one_state_to_its_end(store: Store) -> None:
    with store.reading(system()) as session:
        count = "select count(*) from people"
        before = session.connection().exec_driver_sql(count).scalar()
        with store.writing(system()) as writing:
            create_person(writing, PersonIn(code="MARA"))
        assert session.connection().exec_driver_sql(count).scalar() == before == 0


def test_a_dry_run_outside_http_is_rolled_back_too(store: Store) -> None:
    before = dump(store)
    actor = Actor(operation="tests", now=system().now, dry_run=True)
    with store.writing(actor) as session:
        create_person(session, PersonIn(code="MARA"))
        assert isinstance(session, WriteSession)
    assert dump(store) == before
