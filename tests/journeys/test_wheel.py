"""The wheel alone is enough: installed into an empty venv, the demo runs from another folder."""

import os
import subprocess
import sys
import venv
from pathlib import Path

import pytest

from tests.journeys.conftest import ROOT


def pip(python: Path | str, *words: str) -> None:
    done = subprocess.run(
        [str(python), "-m", "pip", "--disable-pip-version-check", *words],
        capture_output=True,
        text=True,
        cwd=ROOT,
    )
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder with the programs of a venv that holds the image's lock and the wheel."""
    folder = tmp_path_factory.mktemp("wheel")
    pip(sys.executable, "wheel", "-q", "--no-deps", "-w", str(folder), ".")
    (wheel,) = folder.glob("kettlemark-*.whl")
    venv.create(folder / "venv", with_pip=True)
    programs = folder / "venv" / ("Scripts" if os.name == "nt" else "bin")
    lock = ROOT / "docker" / "requirements.lock"
    pip(programs / "python", "install", "-q", "--require-hashes", "-r", str(lock))
    pip(programs / "python", "install", "-q", "--no-deps", str(wheel))
    return programs


def test_the_demo_runs_without_the_checkout(installed: Path, tmp_path: Path) -> None:
    environment = {n: v for n, v in os.environ.items() if not n.startswith(("PYTHON", "KETTLE"))}
    done = subprocess.run(
        [str(installed / "kettlemark"), "demo", "--once", "--port", "0"],
        cwd=tmp_path,
        env=environment,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert "Released and published" in done.stdout


def test_the_licence_travels_with_the_wheel(installed: Path) -> None:
    found = list((installed.parent).rglob("kettlemark-*.dist-info/licenses/**/LICENSE"))
    assert found
    assert "MIT License" in found[0].read_text("utf-8")
