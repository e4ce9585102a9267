"""README's first command, run to the letter in a clean copy of what is committed or staged."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.journeys.conftest import ROOT

README = (ROOT / "README.md").read_text("utf-8")
PARTS = ("service", "openapi_examples", "docker")


def command() -> str:
    """The line under the mark `demo`."""
    return README.split("<!-- demo -->\n```sh\n")[1].split("\n```")[0]


@pytest.mark.skipif(os.name == "nt", reason="the line is for a POSIX shell")
def test_the_first_command_reaches_a_published_lot(tmp_path: Path) -> None:
    for part in PARTS:
        ignored = shutil.ignore_patterns("__pycache__", "_examples")
        shutil.copytree(ROOT / part, tmp_path / part, ignore=ignored)
    for file in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
        shutil.copy(ROOT / file, tmp_path)
    environment = {n: v for n, v in os.environ.items() if not n.startswith(("KETTLE", "PYTHON"))}
    done = subprocess.run(
        ["bash", "-c", f"{command()} --once --port 0"],
        cwd=tmp_path,
        env=environment,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout[-1000:] + done.stderr[-2000:]
    assert "Released and published: SPAR-2609-01A-O" in done.stdout
