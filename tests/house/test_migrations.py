"""Migrations and models agree, and each step goes down and up on a filled database."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine

from service import running
from service.app import create_app, create_store
from service.examples import load
from service.settings import Settings
from service.store import migrate
from tests.client import Client


def test_models_and_migrations_agree(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'shop.sqlite'}"
    migrate.to(url)
    with create_engine(url).connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, migrate.all_tables()) == []


def filled(url: str) -> None:
    """The whole scenario, played into a database."""
    running.make_fit(url)
    settings = Settings(database_url=url)
    key = running.create_key(settings, "test", "all", None)
    client, kept = Client(create_app(settings, create_store(settings)), key), {}
    for call in load():
        path, headers = call.path_with(kept), dict(call.headers)
        answer = client.request(call.method, path, headers=headers, **call.sending())
        assert answer.status_code == call.status, answer.text
        kept.update(call.kept_from(answer.json() if call.keep else None))


def shape(file: Path) -> list[tuple[Any, ...]]:
    with closing(sqlite3.connect(file)) as database:
        wanted = "select type, name, tbl_name from sqlite_master where name not like 'sqlite_%'"
        return sorted(database.execute(wanted))


def rows(file: Path, table: str) -> int:
    with closing(sqlite3.connect(file)) as database:
        found: int = database.execute(f'select count(*) from "{table}"').fetchone()[0]
    return found


def test_each_step_goes_down_and_up_again_on_a_filled_database(tmp_path: Path) -> None:
    file = tmp_path / "shop.sqlite"
    url = f"sqlite:///{file}"
    filled(url)
    whole, materials = shape(file), rows(file, "materials")
    steps = list(ScriptDirectory(str(migrate.FOLDER)).walk_revisions())
    for step in steps:
        below = step.down_revision or "base"
        assert isinstance(below, str), json.dumps(step.revision)
        if below in {"base", "0001"}:
            continue
        migrate.down(url, below)
        assert migrate.standing(url) == below
        assert rows(file, "materials") == materials  # what lies below keeps its rows
    migrate.down(url, "base")
    migrate.to(url)
    assert shape(file) == whole
    assert rows(file, "workshop") == 1


def test_a_backup_is_a_whole_database(tmp_path: Path) -> None:
    file = tmp_path / "shop.sqlite"
    migrate.to(f"sqlite:///{file}")
    copy = migrate.backup(f"sqlite:///{file}")
    assert copy is not None
    assert shape(copy) == shape(file)
