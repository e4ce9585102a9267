"""Bringing a database to the present shape, and telling when it is not there."""

import importlib
import pkgutil
import re
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, create_engine, inspect
from sqlmodel import SQLModel

import service
from service.store.engine import normal_url, sqlite_file, writing_engine

FOLDER = Path(__file__).parent / "migrations"
_STEP = re.compile(r"^(revision|down_revision)\b[^=\n]*= (?:\W(\w+)\W|None)$", re.MULTILINE)


class OlderDatabase(Exception):
    """The database stands at an earlier migration; `kettlemark migrate` brings it up."""


class NewerDatabase(Exception):
    """The database was written by a later version of the service."""


def all_tables() -> Any:
    """The metadata with every table of the house, found by walking the package."""
    for module in pkgutil.walk_packages(service.__path__, "service."):
        name = module.name.rsplit(".", 1)[-1]
        if name.startswith("_tables") or name in {"numbers", "idempotency"}:
            importlib.import_module(module.name)
    return SQLModel.metadata


def _config(engine: Engine) -> Any:
    from alembic.config import Config  # slow to import, and only these commands need it

    config = Config()
    config.set_main_option("script_location", str(FOLDER))
    config.attributes["engine"] = engine
    return config


def steps() -> dict[str, str | None]:
    """Each migration and the one below it, read from the files: a start is not to wait for the
    migration tool to be imported."""
    texts = (file.read_text("utf-8") for file in (FOLDER / "versions").glob("*.py"))
    found = ({name: step for name, step in _STEP.findall(text)} for text in texts)
    return {step["revision"]: step["down_revision"] or None for step in found}


def head() -> str:
    """The newest migration that this version knows."""
    below = steps()
    (newest,) = set(below) - set(below.values())
    return newest


def standing(url: str) -> str | None:
    """The migration a database stands at; None for an empty or absent one."""
    file = sqlite_file(url)
    if file and not Path(file).exists():
        return None
    engine = create_engine(normal_url(url))
    try:
        with engine.connect() as connection:
            if not inspect(connection).has_table("alembic_version"):
                return None
            row = connection.exec_driver_sql("select version_num from alembic_version").first()
            return row[0] if row else None
    finally:
        engine.dispose()


def check(url: str) -> None:
    """Raises OlderDatabase or NewerDatabase unless the database is empty or up to date."""
    at = standing(url)
    if at is None or at == head():
        return
    if at in steps():
        raise OlderDatabase(f"the database stands at {at}, this version needs {head()}")
    raise NewerDatabase(f"the database stands at {at}, which this version does not know")


def to(url: str, revision: str = "head") -> None:
    """Migrate up or down to a revision."""
    from alembic import command

    engine = writing_engine(url)
    try:
        config = _config(engine)
        names = {"head": command.upgrade, "base": command.downgrade}
        act = names.get(revision, command.upgrade)
        act(config, revision)
    finally:
        engine.dispose()


def down(url: str, revision: str) -> None:
    """Migrate down to a revision."""
    from alembic import command

    engine = writing_engine(url)
    try:
        command.downgrade(_config(engine), revision)
    finally:
        engine.dispose()


def backup(url: str) -> Path | None:
    """A checked copy beside the SQLite file, made before migrating; None where there is no file."""
    file = sqlite_file(url)
    if not file or not Path(file).exists():
        return None
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%SZ")
    copy = Path(file).with_name(f"{Path(file).name}.{stamp}.backup")
    with closing(sqlite3.connect(file)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)
        if target.execute("pragma integrity_check").fetchone()[0] != "ok":
            raise OSError(f"the copy {copy} does not pass its check")
    return copy
