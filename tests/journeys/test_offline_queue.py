"""The queue of the bench over a link that loses two answers of three: each entry stands once."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from service.store.session import Store
from tests.client import Client, key_for
from tests.journeys.conftest import ROOT
from tests.makers.batches import left, planned, stocked
from tests.makers.links import Lossy
from tests.served import serving

SCRIPT = str(ROOT / "openapi_examples" / "offline_queue.py")


def run(url: str, key: str, folder: Path, *told: str) -> subprocess.CompletedProcess[str]:
    variables = {**os.environ, "BASE": url, "KEY": key, "QUEUE": str(folder)}
    command = [sys.executable, SCRIPT, *told]
    return subprocess.run(command, env=variables, capture_output=True, text=True, timeout=60)


def test_each_entry_of_the_queue_arrives_exactly_once(
    client: Client, app: Any, store: Store, tmp_path: Path
) -> None:
    lots = stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    key = key_for(store, ["record"])
    entries = [
        {"weighing": {"line": 1, "gross": "1394", "tare": "251"}},
        {"note": "rosin molten"},
        {"weighing": {"line": 2, "amount": "57"}},
    ]
    away = run("http://127.0.0.1:9", key, tmp_path, code, json.dumps(entries[0]))
    assert away.stdout.startswith("later:")
    with serving(Lossy(app)) as url:
        said = [run(url, key, tmp_path, code, json.dumps(entry)).stdout for entry in entries[1:]]
        said += [run(url, key, tmp_path).stdout for _ in range(4)]
    assert sum("later:" in each for each in said) == 2
    assert f"0 stored, 3 known of {code}." in said[2]
    weighed = client.read(f"/v1/batches/{code}/weighings")["data"]
    assert [row["weighed"]["value"] for row in weighed] == ["1143", "57"]
    assert [row["device_seq"] for row in weighed] == [1, 3]
    assert len(client.read(f"/v1/batches/{code}/notes")["data"]) == 1
    assert left(client, lots["ROSIN"])["value"] == "3857"


def test_a_row_that_cannot_be_taken_is_told_and_stays(
    client: Client, app: Any, store: Store, tmp_path: Path
) -> None:
    stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    entry = json.dumps({"weighing": {"line": 9, "amount": "57"}})
    with serving(app) as url:
        done = run(url, key_for(store, ["record"]), tmp_path, code, entry)
    assert done.returncode == 1
    assert "Row 1: Line 9" in done.stderr
    assert not (tmp_path / "sent").exists()
