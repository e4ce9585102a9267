"""The scripts of openapi_examples walk the whole job against a running server."""

import os
import re
import shutil
import subprocess
import sys

import pytest

from tests.journeys.conftest import ROOT, Served

SCRIPTS = ROOT / "openapi_examples"
needs_curl = pytest.mark.skipif(
    not (shutil.which("bash") and shutil.which("curl") and shutil.which("jq")),
    reason="bash, curl and jq are needed",
)


def walk(command: list[str], served: Served) -> str:
    variables = {**os.environ, "BASE": served.url, "KEY": served.key}
    done = subprocess.run(command, env=variables, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    return done.stdout


@needs_curl
def test_the_curl_tour_ends_at_a_public_sheet(empty: Served) -> None:
    said = walk(["bash", str(SCRIPTS / "tour.sh")], empty)
    assert "nothing seen" in said
    assert "Not tried on this lot" in said


def test_the_curl_tour_has_at_most_25_calls() -> None:
    script = (SCRIPTS / "tour.sh").read_text("utf-8")
    assert len(re.findall(r"^(?:[A-Z]=\$\()?P |^curl ", script, re.MULTILINE)) <= 25


def test_the_python_tour_ends_at_a_public_sheet(empty: Served) -> None:
    said = walk([sys.executable, str(SCRIPTS / "tour.py")], empty)
    assert "whitening" in said
    assert "Not tried on this lot" in said


@needs_curl
def test_the_sums_of_a_day_come_to_what_the_bench_needs(demo: Served) -> None:
    said = walk(["bash", str(SCRIPTS / "sums_of_a_day.sh")], demo)
    figures = dict(re.findall(r"^(.+?)\s{2,}(\S.*)$", said, re.MULTILINE))
    assert float(figures["oil in the binder, %"]) == pytest.approx(66.667)
    assert figures["turpentine goes in no hotter than, °C"] == "120"
    assert figures["lot number"] == "SPAR-2611-07-L"
    assert len(figures) > 25
