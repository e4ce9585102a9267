"""`kettlemark verify` on a real SQLite file: it holds, and whatever is touched is named."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service import running
from service.app import create_app, create_store
from service.settings import Settings
from tests.client import SCOPES, Client, key_for
from tests.journeys.test_commands import run
from tests.makers import jars
from tests.makers.batches import evening, ready

WHY = {"reason": "misread"}
COLUMNS = (
    *("id", "link", "at", "operation", "key", "person", "act", "kind", "subject"),
    *("before", "after"),
)


def cooked(client: Client) -> None:
    """A batch that is complete, with a weighing, its yield and its end put right."""
    code, lots = ready(client)
    client.made(f"/v1/batches/{code}/pages", evening(lots))
    path = f"/v1/batches/{code}"
    line = {**WHY, "replaces": {"weighed": "1150 g"}}
    client.made(f"{path}/lines/1/corrections", line)
    end = client.read(f"{path}/transitions")["data"][-1]["entry"]
    later = {**WHY, "replaces": {"happened_at": "2026-11-26T09:00:00Z"}}
    client.made(f"{path}/transitions/{end}/corrections", later)


def sold(client: Client, store: Any) -> None:
    """Jars on sale of which the fill, a coat, the labels and the delivery were put right."""
    number = jars.released(client, store)
    lot = f"/v1/lots/{number}"
    client.made(f"{lot}/fills/corrections", {**WHY, "replaces": {"count": 9}})
    count = client.read(f"{lot}/labellings")["data"][0]["entry"]
    path = f"{lot}/labellings/{count}/corrections"
    client.made(path, {**WHY, "replaces": {"printed": 11, "spoiled": 3}})
    client.made("/v1/panels/P-26-014/coats/2/corrections", {**WHY, "void": True})
    note = client.read("/v1/receipts")["data"][0]["receipt"]
    client.made(f"/v1/receipts/{note}/corrections", {**WHY, "replaces": {"on": "2026-11-19"}})
    for one in client.read("/v1/deviations?open=true")["data"]:
        path = f"/v1/deviations/{one['deviation']}/conclusions"
        client.made(path, {"text": "Looked at."})
        client.made(f"{path}/corrections", {**WHY, "replaces": {"text": "Looked at twice."}})
    client.made(f"{lot}/releases", {"by": "MB"})


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Two records of an invented workshop, whole in their files."""
    folder = tmp_path_factory.mktemp("records")
    found = {}
    for name in ("cooked", "sold"):
        file = folder / f"{name}.sqlite"
        url = f"sqlite:///{file}"
        running.make_fit(url)
        store = create_store(Settings(database_url=url))
        client = Client(create_app(Settings(database_url=url), store), key_for(store, SCOPES))
        cooked(client) if name == "cooked" else sold(client, store)
        store.dispose()
        found[name] = file
    return found


def fault(file: Path) -> str | None:
    """The first fault of a record, or None."""
    try:
        list(running.verify(f"sqlite:///{file}"))
    except running.FaultFound as found:
        return str(found)
    return None


def touched(sound: Path, folder: Path, *statements: str, values: tuple[Any, ...] = ()) -> Path:
    """A copy of a record in which someone wrote past the service."""
    file = folder / "touched.sqlite"
    shutil.copy(sound, file)
    with closing(sqlite3.connect(file)) as database:
        for statement in statements:
            assert database.execute(statement, values).rowcount, statement
        database.commit()
    return file


@pytest.mark.parametrize("name", ["cooked", "sold"])
def test_a_record_with_corrections_of_every_kind_holds(
    sound: dict[str, Path], tmp_path: Path, name: str
) -> None:
    ended = run("verify", "--database-url", f"sqlite:///{sound[name]}", cwd=tmp_path)
    assert ended.returncode == 0, ended.stderr
    assert ended.stdout.splitlines()[0].startswith("The audit chain holds")
    assert ended.stdout.splitlines()[-1] == "No fault was found."


@pytest.mark.parametrize("column", COLUMNS)
def test_each_column_of_an_entry_changed_breaks_its_link(
    sound: dict[str, Path], tmp_path: Path, column: str
) -> None:
    file = sound["cooked"]
    with closing(sqlite3.connect(file)) as database:
        ask = (
            f"select id, link, cast({column} as text) from audit_entries order by id desc limit 40"
        )
        entries = database.execute(ask).fetchall()
    for entry, link, held in (entries[0], entries[20]):
        for changed in flipped(held, column):
            set_ = f"update audit_entries set {column} = ? where id = {entry}"
            found = fault(touched(file, tmp_path, set_, values=(changed,)))
            assert found is not None, (column, held, changed)
            assert "audit chain breaks at link" in found
            low = 1 if column == "link" else link
            assert any(f"link {n}:" in found for n in range(low, link + 2)), found


def flipped(held: str | None, column: str) -> list[Any]:
    """A value with its first, middle or last byte another, one longer, and none."""
    if column in {"id", "link"}:
        number = int(held or 0)
        return [number + 1_000_000] if column == "id" else [number - 1]
    if held is None:
        return ["x"]
    raw = held.encode()
    places = {0, len(raw) // 2, len(raw) - 1}
    texts = [bytes([*raw[:at], raw[at] ^ 1, *raw[at + 1 :]]).decode("latin-1") for at in places]
    as_bytes = [] if column in {"before", "after"} else [raw]  # of which the text is the same
    return [*texts, f"{held} ", *as_bytes]


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_any_byte_of_any_text_of_any_entry_is_missed_by_nobody(
    sound: dict[str, Path], tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    with closing(sqlite3.connect(sound["sold"])) as database:
        most = database.execute("select max(id) from audit_entries").fetchone()[0]
        entry = data.draw(st.integers(1, most))
        column = data.draw(st.sampled_from(COLUMNS[2:]))
        ask = f"select cast({column} as text) from audit_entries where id = ?"
        held = database.execute(ask, (entry,)).fetchone()[0]
    raw = (held or "").encode()
    place = data.draw(st.integers(0, max(0, len(raw) - 1)))
    byte = data.draw(st.integers(1, 127).filter(lambda b: raw[place : place + 1] != bytes([b])))
    changed = (raw[:place] + bytes([byte]) + raw[place + 1 :]).decode("utf-8", "surrogateescape")
    folder = tmp_path_factory.mktemp("one")
    set_ = f"update audit_entries set {column} = cast(? as text) where id = {entry}"
    values = (changed.encode("utf-8", "surrogateescape"),)
    found = fault(touched(sound["sold"], folder, set_, values=values))
    assert found is not None
    assert "audit chain breaks at link" in found


@pytest.mark.parametrize(
    ("name", "statement", "said"),
    [
        ("cooked", "update batches set state = 'held' where code like 'SPAR%'", "batches"),
        ("cooked", "update movements set amount = amount + 1 where id = 2", "movements 2: amount"),
        ("cooked", "delete from movements where id = 3", "movements 3"),
        ("cooked", "update edges set amount = amount - 1", "edges"),
        ("cooked", "update lots set quality = 'released' where kind = 'made'", "lots"),
        ("cooked", "update weighings set void = 1 where id = 1", "weighings 1: void"),
        ("cooked", "update materials set folded = 'x' where code = 'ROSIN'", "search text"),
        ("sold", "update documents set canonical = canonical || ' '", "documents"),
        ("sold", "update documents set sha256 = replace(sha256, 'a', 'b')", "documents"),
        ("sold", "update renderings set body = body || ' '", "renderings"),
        ("sold", "update published set sold_from = '2020-01-01'", "published"),
        ("sold", "update fills set verdict = 'fail'", "fills"),
        ("sold", "update deviations set open = 1 - open", "deviations"),
        ("sold", "update figures set value = value + 1 where id = 1", "figures"),
        ("sold", "update audit_head set number = number - 1", "head of the chain"),
        ("sold", "update fill_weights set gross_mg = gross_mg + 1 where id > 8", "weights of"),
    ],
)
def test_what_is_written_past_the_service_is_named(
    sound: dict[str, Path], tmp_path: Path, name: str, statement: str, said: str
) -> None:
    assert said in (fault(touched(sound[name], tmp_path, statement)) or "no fault")


def test_a_fault_ends_the_command_with_one_and_is_the_last_thing_said(
    sound: dict[str, Path], tmp_path: Path
) -> None:
    file = touched(sound["cooked"], tmp_path, "update lots set amount_in = amount_in + 1")
    ended = run("verify", "--database-url", f"sqlite:///{file}", cwd=tmp_path)
    assert ended.returncode == 1
    assert ended.stderr.startswith("FAULT: lots ")
    assert ended.stdout.splitlines() == ["The audit chain holds from its first link to its head."]


def test_a_byte_changed_in_the_file_itself_is_found(sound: dict[str, Path], tmp_path: Path) -> None:
    raw = sound["sold"].read_bytes()
    place = raw.rindex(b"freeze_label")
    file = tmp_path / "file.sqlite"
    file.write_bytes(raw[:place] + b"F" + raw[place + 1 :])
    assert "breaks at link" in (fault(file) or "")


def test_an_absent_an_empty_and_a_strange_file_are_no_record(tmp_path: Path) -> None:
    strange = tmp_path / "strange.sqlite"
    strange.write_bytes(b"no database at all" * 100)
    (tmp_path / "empty.sqlite").touch()
    for name in ("absent", "empty", "strange"):
        with pytest.raises(running.Unfit):
            list(running.verify(f"sqlite:///{tmp_path / name}.sqlite"))
    assert not (tmp_path / "absent.sqlite").exists()
    ended = run("verify", "--database-url", "sqlite:///absent.sqlite", cwd=tmp_path)
    assert (ended.returncode, "There is no record" in ended.stderr) == (2, True)


def test_a_backup_is_a_record_that_holds(sound: dict[str, Path], tmp_path: Path) -> None:
    file = Path(shutil.copy(sound["sold"], tmp_path / "shop.sqlite"))
    copy = Path(running.back_up(f"sqlite:///{file}"))
    assert copy.parent == tmp_path
    assert fault(copy) is None
    (tmp_path / "strange.sqlite").write_bytes(b"no database at all" * 100)
    for name in ("absent", "strange"):
        with pytest.raises(running.Unfit):
            running.back_up(f"sqlite:///{tmp_path / name}.sqlite")
