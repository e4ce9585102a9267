"""A real spreadsheet program opens the CSV of a lot, by file and by address."""

import csv
import io
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.journeys.conftest import Served

SOFFICE = shutil.which("soffice")
pytestmark = pytest.mark.skipif(SOFFICE is None, reason="LibreOffice is needed")
_READ = "--infilter=Text - txt - csv (StarCalc):44,34,76,1,,1033,false,true"
_WRITE = "csv:Text - txt - csv (StarCalc):44,34,76,1,,1033"


def opened(source: str, folder: Path) -> list[list[str]]:
    """The cells as the program shows them."""
    profile = f"-env:UserInstallation=file://{folder / 'profile'}"
    words = [_READ, "--convert-to", _WRITE, "--outdir", str(folder / "out"), source]
    command = [str(SOFFICE), "--headless", profile, *words]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    (file,) = (folder / "out").glob("*.csv")
    return list(csv.reader(io.StringIO(file.read_text("utf-8"))))


def test_the_sheet_by_file_keeps_numbers_and_text(demo: Served, tmp_path: Path) -> None:
    body = demo.get(f"/l/{demo.lots[0]}.csv").content
    file = tmp_path / "sheet.csv"
    file.write_bytes(body)
    cells = opened(str(file), tmp_path)
    assert cells[0][:4] == ["section", "name", "value", "unit"]
    flow = next(row for row in cells if row[1] == "Flow time")
    assert flow[2:4] == ["62", "s"]
    assert any(demo.lots[0] in cell for row in cells for cell in row)


def test_the_sheet_by_address_opens_alike(demo: Served, tmp_path: Path) -> None:
    cells = opened(f"{demo.url}/l/{demo.lots[0]}.csv", tmp_path)
    assert any("whitening" in cell for row in cells for cell in row)
