"""A start on a database that is up to date waits for nothing it does not need."""

import subprocess
import sys
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory

from service.settings import Settings
from service.store import migrate

ROOT = Path(__file__).parent.parent.parent
HEAVY = [
    "alembic",
    "mako",
    "pint",
    "flexparser",
    "numpy",
    "reportlab",
    "PIL",
    "xlsxwriter",
    "openpyxl",
]
# What `kettlemark serve` does until it listens, and then the first answers; none converts a unit.
START = f"""
import asyncio, sys, uvicorn
from service import running
from service.settings import Settings
from tests.client import Client
settings = Settings(database_url=sys.argv[1])
running.prepare(settings)
app = running.create_app(settings)
uvicorn.Config(app, **running.server_flags(settings)).load()
assert Client(app, None).get("/").status_code == 200
assert Client(app, None).get("/health/ready").status_code == 200
assert Client(app, None).get("/v1/lots").status_code == 401
print(" ".join(name for name in {HEAVY} if name in sys.modules))
"""


def test_a_start_imports_nothing_slow(settings: Settings) -> None:
    done = subprocess.run(
        [sys.executable, "-c", START, settings.database_url],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == []


@pytest.mark.parametrize("name", ["pint", "alembic"])
def test_what_is_looked_for_would_be_found(name: str) -> None:
    slow = f"import {name}, sys; print(' '.join(n for n in {HEAVY} if n in sys.modules))"
    done = subprocess.run([sys.executable, "-c", slow], capture_output=True, text=True, check=True)
    assert name in done.stdout.split()


def test_the_newest_migration_is_the_one_that_the_migration_tool_finds() -> None:
    tool = ScriptDirectory(str(migrate.FOLDER))
    assert migrate.head() == tool.get_current_head()
    walked = {step.revision: step.down_revision for step in tool.walk_revisions()}
    assert migrate.steps() == walked
