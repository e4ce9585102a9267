"""`kettlemark verify` where a logger's points came at once, and where rows come back or follow."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from service import running
from service.app import create_app, create_store
from service.settings import Settings
from tests.client import SCOPES, Client, key_for
from tests.makers.batches import evening, ready
from tests.makers.cooks import LOGGER, csv_of, logged, readings, send_file

WHY = {"reason": "misread"}
FILES = "/v1/equipment/KETTLE-2/cook-logs"


def fault(url: str) -> str:
    """The first fault of a record, or an empty text."""
    try:
        list(running.verify(url))
    except running.FaultFound as found:
        return str(found)
    return ""


def write(url: str, statement: str) -> None:
    """Past the service."""
    with closing(sqlite3.connect(url.removeprefix("sqlite:///"))) as database:
        assert database.execute(statement).rowcount > 0
        database.commit()


@pytest.fixture(scope="module")
def logged_twice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record with a stream and a file of points that joined a batch; one of each put right."""
    file = tmp_path_factory.mktemp("points") / "sound.sqlite"
    url = f"sqlite:///{file}"
    running.make_fit(url)
    store = create_store(Settings(database_url=url))
    client = Client(create_app(Settings(database_url=url), store), key_for(store, SCOPES))
    code, lots = ready(client)
    client.request("POST", LOGGER, json=logged(readings(20)))
    log = send_file(client, FILES, csv_of(30, every=60), device="FILE-1").json()["log"]
    body = {**WHY, "replaces": {"temperature": "99 °C"}}
    client.made(f"{LOGGER}/3/corrections", body)
    client.made(f"/v1/batches/{code}/pages", evening(lots))
    client.made(f"/v1/cook-logs/{log}/corrections", {**WHY, "void": True})
    store.dispose()
    return file


@pytest.fixture
def url(logged_twice: Path, tmp_path: Path) -> str:
    file = tmp_path / "touched.sqlite"
    file.write_bytes(logged_twice.read_bytes())
    return f"sqlite:///{file}"


def test_points_that_joined_a_batch_later_hold_also_where_one_was_put_right(url: str) -> None:
    assert fault(url) == ""


@pytest.mark.parametrize(
    "statement",
    [
        "update cook_points set temperature_c = temperature_c + 1000000 where id = 7",
        "update cook_points set temperature_c = null where id = 7",
        "update cook_points set happened_at = '2026-11-25 13:00:01.000000' where id = 7",
        "update cook_points set device = 'OTHER' where id = 7",
        "update cook_points set seq = 4000 where id = 7",
        "update cook_points set remark = 'x' where id = 7",
        "update cook_points set set_aside = 'x' where id = 7",
        "update cook_points set kettle = null where id = 7",
        "update cook_points set log = 1 where id = 7",
        "update cook_points set void = 1 where id = 7",
        "delete from cook_points where id = 7",
        "update cook_points set temperature_c = 1 where log = 1",
        "delete from cook_points where log = 2",
    ],
)
def test_a_point_that_came_among_many_is_held_to_what_came(url: str, statement: str) -> None:
    write(url, statement)
    assert "cook points" in fault(url)


def test_a_point_that_never_came_is_found(url: str) -> None:
    names = "kettle, device, temperature_c, happened_at, entered_at, entered_from, void"
    write(
        url,
        f"insert into cook_points ({names}) select {names} from cook_points where id = 7",
    )
    assert "cook points" in fault(url)


@pytest.mark.parametrize("batch", ["null", "(select max(id) + 1 from batches)"])
@pytest.mark.parametrize("point", [7, 51])  # of many, and the one that was put right
def test_a_point_is_of_the_batch_that_had_the_kettle(url: str, point: int, batch: str) -> None:
    write(url, f"update cook_points set batch = {batch} where id = {point}")
    assert f"ook point {point} is" in fault(url)


def test_a_log_is_held_to_what_the_trail_says_of_it(url: str) -> None:
    write(url, "update cook_logs set set_aside = set_aside + 1 where id = 1")
    assert fault(url).startswith("cook_logs 1: set_aside is 1; the audit trail says 0")


def test_what_was_deleted_and_stands_again_is_found(client: Client, settings: Settings) -> None:
    client.made("/v1/materials", {"code": "CHALK", "kind": "ingredient", "name": "Chalk"})
    url = settings.database_url
    tag = client.request("GET", "/v1/materials/CHALK").headers["ETag"]
    with closing(sqlite3.connect(url.removeprefix("sqlite:///"))) as database:
        row = database.execute("select * from materials where code = 'CHALK'").fetchone()
    gone = client.request("DELETE", "/v1/materials/CHALK", headers={"If-Match": tag})
    assert gone.status_code == 200, gone.text
    assert fault(url) == ""
    with closing(sqlite3.connect(url.removeprefix("sqlite:///"))) as database:
        database.execute(f"insert into materials values ({', '.join('?' * len(row))})", row)
        database.commit()
    assert fault(url).startswith("materials CHALK stands in the database")


def test_an_empty_shop_holds(settings: Settings) -> None:
    assert fault(settings.database_url) == ""
