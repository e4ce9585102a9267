"""The same service on PostgreSQL: the same shape, the same answers, nothing lost."""

import logging
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine, inspect, text
from sqlalchemy.exc import IntegrityError, OperationalError

from service.app import create_app, create_store
from service.errors import Busy
from service.office.audit.faults import first_break
from service.settings import Settings
from service.store import migrate
from service.store.engine import READ_POOL, WRITE_POOL, normal_url
from service.store.session import Store
from service.verifying import first_fault
from service.web.logs import log
from service.web.problems import of_database
from tests.client import SCOPES, Client, key_for, system
from tests.house.playing import Played, play, settled
from tests.served import at_once, serving
from tests.store.postgres import Server


@pytest.fixture(scope="module")
def played(server: Server) -> tuple[str, list[Played]]:
    """The whole scenario on an empty database, and where it stands."""
    url = server.fresh()
    return url, play(url)


@pytest.fixture
def shop(server: Server) -> Iterator[Store]:
    """An empty shop at the newest migration."""
    url = server.fresh()
    migrate.to(url)
    found = create_store(Settings(database_url=url))
    yield found
    found.dispose()


def shape(url: str) -> dict[str, Any]:
    """Tables with their columns, indexes and foreign keys."""
    engine = create_engine(normal_url(url))
    try:
        seen = inspect(engine)
        return {
            name: (
                [(column["name"], str(column["type"])) for column in seen.get_columns(name)],
                sorted(str(index["name"]) for index in seen.get_indexes(name)),
                sorted(str(key["name"]) for key in seen.get_foreign_keys(name)),
            )
            for name in seen.get_table_names()
        }
    finally:
        engine.dispose()


def number(url: str, query: str) -> int:
    engine = create_engine(normal_url(url))
    try:
        with engine.connect() as connection:
            return int(connection.execute(text(query)).scalar_one())
    finally:
        engine.dispose()


def test_models_and_migrations_agree(server: Server) -> None:
    url = server.fresh()
    migrate.to(url)
    assert migrate.standing(url) == migrate.head()
    engine = create_engine(normal_url(url))
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, migrate.all_tables()) == []
    engine.dispose()


def test_every_example_is_answered_as_on_sqlite(played: tuple[str, list[Played]]) -> None:
    for one in played[1]:
        assert one.status == one.call.status, (one.call.file, one.body)
        assert settled(one.body) == settled(one.call.response), one.call.file


def test_the_record_of_the_whole_scenario_holds(played: tuple[str, list[Played]]) -> None:
    store = create_store(Settings(database_url=played[0]))
    with store.reading(system()) as session:
        assert first_fault(session, lambda _: None) is None
    store.dispose()


def test_each_step_goes_down_and_up_again(server: Server) -> None:
    url = server.fresh()
    play(url)
    whole = shape(url)
    materials = number(url, "select count(*) from materials")
    for step in ScriptDirectory(str(migrate.FOLDER)).walk_revisions():
        if step.down_revision in {None, "0001"}:
            continue
        migrate.down(url, str(step.down_revision))
        assert migrate.standing(url) == step.down_revision
        assert number(url, "select count(*) from materials") == materials
    migrate.down(url, "base")
    migrate.to(url)
    assert shape(url) == whole


def test_32_writers_at_once_lose_nothing(shop: Store) -> None:
    key = key_for(shop, SCOPES)
    app = create_app(Settings(database_url=shop.url), shop)
    people = [("POST", "/v1/people", {"code": f"MAKER-{n}"}) for n in range(32)]
    with serving(app) as url:
        answers = at_once(url, key, people)
    assert [answer.text for answer in answers if answer.status_code != 201] == []
    assert number(shop.url, "select count(*) from people") == 32
    assert number(shop.url, "select count(*) from audit_links") == 33  # the key's is the first
    with shop.reading(system()) as session:
        assert first_break(session) is None


def test_numbers_drawn_by_two_servers_have_neither_gaps_nor_twins(shop: Store) -> None:
    key = key_for(shop, SCOPES)
    settings = Settings(database_url=shop.url)
    app, other = create_app(settings, shop), create_app(settings)
    Client(app, key).made("/v1/materials", {"code": "OIL-LIN", "kind": "ingredient"})
    figure = {"property": "density", "value": "0.93 kg/l", "basis": "measured", "method": "own"}
    with serving(app) as one, serving(other) as two:
        calls = [
            ("POST", f"{url}/v1/materials/OIL-LIN/figures", figure)
            for _ in range(16)
            for url in (one, two)
        ]
        answers = at_once(one, key, calls)
    other.state.house.store.dispose()
    numbers = sorted(answer.json()["figure"].rsplit("-", 1)[1] for answer in answers)
    assert numbers == [f"{n:03d}" for n in range(1, 33)]


@pytest.mark.parametrize(
    "statement",
    ["delete from workshop", "update workshop set revision = 2", "create table more (id int)"],
)
def test_the_database_itself_keeps_a_reading_session_from_writing(
    shop: Store, statement: str
) -> None:
    with shop.reading(system()) as session, pytest.raises(Exception, match="read-only"):
        session.connection().exec_driver_sql(statement)


def test_a_reading_session_sees_one_state_to_its_end(shop: Store) -> None:
    count = "select count(*) from keys"
    with shop.reading(system()) as session:
        before = session.connection().exec_driver_sql(count).scalar()
        key_for(shop, SCOPES)
        assert session.connection().exec_driver_sql(count).scalar() == before


def test_a_writer_that_waits_too_long_is_an_honest_refusal(
    shop: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("service.store.engine.BUSY_MS", 100)
    with shop.writer.connect() as holding:
        holding.exec_driver_sql("select 1")
        with pytest.raises(OperationalError, match="lock timeout") as told:
            key_for(shop, SCOPES)
    assert isinstance(of_database(told.value), Busy)


def test_many_readers_and_writers_of_two_servers_find_a_connection(shop: Store) -> None:
    key = key_for(shop, SCOPES)
    settings = Settings(database_url=shop.url)
    app, other = create_app(settings, shop), create_app(settings)
    with serving(app) as one, serving(other) as two:
        reading = [("GET", f"{url}/v1/people", None) for _ in range(100) for url in (one, two)]
        writing = [("POST", f"{one}/v1/people", {"code": f"MAKER-{n}"}) for n in range(20)]
        answers = at_once(one, key, [*reading[:100], *writing, *reading[100:]])
        held = number(shop.url, "select count(*) from pg_stat_activity where datname is not null")
    other.state.house.store.dispose()
    assert Counter(answer.status_code for answer in answers) == {200: 200, 201: 20}
    assert held <= 2 * (READ_POOL + WRITE_POOL) + 2


def test_a_row_that_the_database_refuses_is_not_logged(
    shop: Store, caplog: pytest.LogCaptureFixture
) -> None:
    named = "insert into people (code, name) values ('MARA', 'Mara Tidewater')"
    with shop.writer.connect() as connection, pytest.raises(IntegrityError) as told:
        connection.exec_driver_sql(named)
    assert "Tidewater" in str(told.value.orig)  # the server shows the row it refuses
    logger = logging.getLogger("kettlemark")
    logger.addHandler(caplog.handler)
    log("crash", exception=told.value)
    logger.removeHandler(caplog.handler)
    assert "IntegrityError" in caplog.text
    assert "Tidewater" not in caplog.text
