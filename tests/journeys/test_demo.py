"""The demo, as a new user meets it."""

import subprocess
import sys
from pathlib import Path

from tests.journeys.conftest import ROOT, Served


def test_the_demo_publishes_a_lot_whose_sheet_needs_no_key(demo: Served) -> None:
    sheet = demo.get(f"/l/{demo.lots[0]}.json").json()
    assert sheet["lot"] == demo.lots[0]
    assert any("whitening" in seen["text"] for seen in sheet["saw"])
    assert "gel stripper" in sheet["not_tried"]["list"]


def test_the_number_is_found_as_a_tired_person_types_it(demo: Served) -> None:
    typed = demo.lots[0].lower().replace("-", " ")
    assert demo.get(f"/l/{typed}.json").json()["lot"] == demo.lots[0]


def test_once_plays_checks_and_ends(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "service", "demo", "--once", "--port", "0"]
    ended = subprocess.run(
        command, cwd=tmp_path, env={"PYTHONPATH": str(ROOT)}, capture_output=True, text=True
    )
    assert ended.returncode == 0, ended.stderr
    assert "Released and published: SPAR-2609-01A-" in ended.stdout
    assert list((tmp_path / "kettlemark-demo").glob("workshop-*.sqlite"))


def test_a_second_demo_leaves_the_first_database_alone(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "service", "demo", "--once", "--port", "0"]
    for _ in range(2):
        subprocess.run(command, cwd=tmp_path, env={"PYTHONPATH": str(ROOT)}, check=True, stdout=-3)
    assert len(list((tmp_path / "kettlemark-demo").glob("workshop-*.sqlite"))) == 2


def test_the_whole_cook_log_arrived_once_over_a_link_that_drops_answers(demo: Served) -> None:
    key = {"Authorization": f"Bearer {demo.key}"}
    query = "device=PI-KETTLE&sort=seq&limit=500"
    points = demo.get(f"/v1/equipment/KETTLE-2/cook-points?{query}", headers=key).json()["data"]
    assert [point["seq"] for point in points] == list(range(1, 401))
    assert sum(point["set_aside"] is not None for point in points) == 2
    batch = points[0]["batch"]
    found = demo.get(f"/v1/batches/{batch}/cook-analysis", headers=key).json()
    assert (found["readings"], found["set_aside"]) == (398, 2)
