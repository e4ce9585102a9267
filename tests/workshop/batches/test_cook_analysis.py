"""What a cook log says: maximum, times, ramps, gaps, equivalent time, earlier cooks, the curve."""

import csv
import io
import math
import shutil
import subprocess
import xml.etree.ElementTree as ET
from datetime import timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from tests.client import Client
from tests.makers.batches import planned, ready
from tests.makers.cooks import LOGGER, START, csv_of, logged, readings, running, send_file

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
ENERGY, REFERENCE = 120, 240


def analysis(client: Client, code: str, **asked: Any) -> Any:
    """What the log of a batch says."""
    return client.read(f"/v1/batches/{code}/cook-analysis", params=asked)


def cooked(client: Client, count: int = 400, **more: Any) -> str:
    """A batch whose evening the logger sent; its code."""
    code = running(client)
    client.post(LOGGER, logged(readings(count, **more)))
    return code


def test_a_log_is_summed_up(client: Client) -> None:
    found = analysis(client, cooked(client))
    assert (found["series"], found["readings"], found["set_aside"]) == ("PI-KETTLE", 400, 0)
    assert (found["first_at"], found["span"]["value"]) == ("2026-11-25T13:05:00Z", "199.5")
    assert found["highest"]["temperature"] == {
        "value": "240.2",
        "unit": "°C",
        "basis": "measured",
        "note": "log",
    }
    assert found["seen"] == found["span"]
    assert found["assumed"]["above_c"] == "5 K below each temperature of the sheet"
    assert found["equivalent"] is None


@pytest.mark.parametrize("year", [2000, 2099])
def test_a_clock_that_was_years_off_for_a_while_spoils_no_analysis(
    client: Client, year: int
) -> None:
    code = cooked(client)
    client.post(LOGGER, logged([[900, f"{year}-01-01T00:00:00+00:00", 21]], device="PI-KETTLE"))
    # By hand only what is past is taken.
    points = {"temperature": 22, "happened_at": "2000-01-01T00:02:00+00:00"}
    client.made(f"/v1/batches/{code}/cook-points", points)
    for path in ("cook-analysis", "cook-curve", "cook-curve.csv", "record", "record.pdf"):
        assert client.get(f"/v1/batches/{code}/{path}").status_code == 200, path
    drawn = client.get(f"/v1/batches/{code}/cook-curve.svg", params={"earlier": 1})
    assert drawn.status_code == 200


def test_times_above_are_those_that_were_asked_for(client: Client) -> None:
    code = cooked(client)
    found = analysis(client, code, above_c=[200, 235])["above"]
    assert [one["threshold"]["value"] for one in found] == ["200", "235"]
    # By hand from the course: 168 to 240 °C in 40 min, held 45 min, 239 to 114 °C in 65 min.
    by_hand = [
        40 * (240 - 200) / 72 + 45 + 65 * (239 - 200) / 125,
        40 * (240 - 235) / 72 + 45 + 65 * (239 - 235) / 125,
    ]
    for one, minutes in zip(found, by_hand, strict=True):
        assert float(one["time"]["value"]) == pytest.approx(minutes, abs=0.5)
        assert one["at_least"] is False


def test_the_equivalent_time_is_the_integral_of_scipy(client: Client) -> None:
    code = cooked(client)
    asked = {"reference_c": REFERENCE, "activation_energy_kj_mol": ENERGY}
    found = analysis(client, code, **asked)["equivalent"]
    curve = client.read(f"/v1/batches/{code}/cook-curve")["series"][0]["points"]
    times, warm = np.array(curve).T

    def rate(minute: float) -> float:
        kelvin = np.interp(minute, times, warm) + 273.15
        return math.exp(-ENERGY * 1000 / 8.314462618 * (1 / kelvin - 1 / (REFERENCE + 273.15)))

    whole = sum(quad(rate, start, end)[0] for start, end in pairwise(times))
    assert float(found["time"]["value"]) == pytest.approx(whole, abs=0.05)
    assert found["activation_energy"] == {"value": "120", "unit": "kJ/mol"}


@pytest.mark.parametrize("sent", ["reference_c", "activation_energy_kj_mol"])
def test_an_equivalent_time_needs_a_stated_activation_energy(client: Client, sent: str) -> None:
    code = running(client)
    answer = client.get(f"/v1/batches/{code}/cook-analysis", params={sent: 120})
    missing = {"reference_c", "activation_energy_kj_mol"} - {sent}
    assert answer.status_code == 422
    assert {fault["parameter"] for fault in answer.json()["errors"]} == missing


def test_what_lies_outside_the_rule_is_undecided(client: Client) -> None:
    code = running(client)
    client.made(f"/v1/batches/{code}/cook-points", {"temperature": "250 °C"})
    found = analysis(client, code, reference_c=280, activation_energy_kj_mol=120)
    assert found["equivalent"] is None
    assert "no two readings" in found["undecided"][0]


def test_a_gap_is_named_and_hides_nothing(client: Client) -> None:
    code = running(client)
    rows = readings(400)
    client.post(LOGGER, logged(rows[:200] + rows[240:]))
    found = analysis(client, code)
    assert [gap["time"]["value"] for gap in found["gaps"]] == ["20.5"]
    assert found["gaps"][0]["from"] == "2026-11-25T14:44:30Z"
    assert all(one["at_least"] for one in found["above"])
    assert float(found["seen"]["value"]) == pytest.approx(199.5 - 20.5)
    whole = analysis(client, code, gap_min=30)
    assert whole["gaps"] == []


def test_what_a_device_and_a_person_read_is_kept_apart(client: Client) -> None:
    code = cooked(client)
    hand = {"temperature": "114 °C", "happened_at": "2026-11-25T16:10:00Z", "remark": "spirit in"}
    client.made(f"/v1/batches/{code}/cook-points", hand)
    found = analysis(client, code)
    assert (found["series"], found["others"]) == ("PI-KETTLE", [{"name": "by hand", "readings": 1}])
    assert analysis(client, code, series="by hand")["highest"]["temperature"]["value"] == "114"
    answer = client.get(f"/v1/batches/{code}/cook-analysis?series=OTHER")
    assert answer.json()["errors"][0]["hint"] == "There: PI-KETTLE, by hand."


def test_what_was_set_aside_is_out_of_the_analysis(client: Client) -> None:
    code = running(client)
    rows = readings(20)
    rows[7][2] = 4000
    client.post(LOGGER, logged(rows))
    found = analysis(client, code)
    assert (found["readings"], found["set_aside"]) == (19, 1)
    assert float(found["highest"]["temperature"]["value"]) < 100


def test_a_batch_without_a_log_says_so(client: Client) -> None:
    code, _ = ready(client)
    found = analysis(client, code)
    assert (found["readings"], found["highest"]) == (0, None)
    assert found["undecided"] == ["Nothing was read: there is no cook log."]
    assert client.read(f"/v1/batches/{code}/cook-curve")["series"] == []
    drawn = client.get(f"/v1/batches/{code}/cook-curve.svg").text
    assert "No temperature was read." in drawn


def test_a_cook_is_compared_with_earlier_ones_of_the_version(client: Client) -> None:
    codes = [running(client)]
    codes += [planned(client, "SPAR", "2 kg", override_reason="It comes.") for _ in range(2)]
    for days, code in enumerate(codes):
        start = START + timedelta(days=days)
        path = f"/v1/batches/{code}/cook-logs"
        body = csv_of(400, start=start, every=30 + 3 * days)
        assert send_file(client, path, body).status_code == 201
    first, _, last = (analysis(client, code) for code in codes)
    assert {one["verdict"] for one in first["compared"]} == {"first"}
    assert [one["batch"] for one in last["earlier"]] == codes[1::-1]
    by_name = {one["name"]: one for one in last["compared"]}
    assert by_name["highest"]["verdict"] == "within"
    assert by_name["highest"]["batches"] == 2
    assert analysis(client, codes[2], earlier=1)["compared"][0]["batches"] == 1
    drawn = client.get(f"/v1/batches/{codes[2]}/cook-curve.svg?earlier=2").text
    assert f"{codes[0]}, logger" in drawn


def test_the_curve_is_had_as_numbers_and_as_a_table(client: Client) -> None:
    code = cooked(client)
    remark = {"temperature": "240 °C", "happened_at": "2026-11-25T14:20:00Z", "remark": "=string"}
    client.made(f"/v1/batches/{code}/cook-points", remark)
    found = client.read(f"/v1/batches/{code}/cook-curve")
    assert found["series"][0]["points"][0] == [0.0, readings(1)[0][2]]
    assert len(found["series"][0]["points"]) == 400
    assert [mark["remark"] for mark in found["marks"]] == ["=string"]
    assert {plan["temperature"]["value"] for plan in found["plan"]} >= {"240"}
    answer = client.get(f"/v1/batches/{code}/cook-curve.csv")
    assert answer.headers["content-type"].startswith("text/csv")
    rows = list(csv.DictReader(io.StringIO(answer.text)))
    assert len(rows) == 401
    assert rows[1]["minutes"] == "0.5"
    assert rows[-1]["remark"] == "'=string"


def test_the_curve_is_not_sent_twice(client: Client) -> None:
    code = cooked(client, 20)
    path = f"/v1/batches/{code}/cook-curve.svg"
    first = client.get(path)
    again = client.get(path, headers={"If-None-Match": first.headers["etag"]})
    assert again.status_code == 304


def test_the_curve_says_in_words_what_it_shows(client: Client) -> None:
    code = cooked(client)
    answer = client.get(f"/v1/batches/{code}/cook-curve.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    told = ET.fromstring(answer.content).findtext("{http://www.w3.org/2000/svg}desc", "")
    assert told.startswith("400 readings of PI-KETTLE over 199.5 min. Highest 240.2 °C after")
    assert "Europe/London" in answer.text
    assert "minutes since 13:05 on 2026-11-25" in answer.text


@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is needed")
def test_a_browser_draws_the_curve(client: Client, tmp_path: Path) -> None:
    code = cooked(client)
    drawing, picture = tmp_path / "curve.svg", tmp_path / "curve.png"
    drawing.write_bytes(client.get(f"/v1/batches/{code}/cook-curve.svg").content)
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--hide-scrollbars"]
    words = ["--window-size=960,560", f"--screenshot={picture}", drawing.as_uri()]
    profile = f"--user-data-dir={tmp_path / 'profile'}"
    command = [str(CHROMIUM), *flags, profile, *words]
    done = subprocess.run(command, capture_output=True, text=True, timeout=90)
    assert done.returncode == 0, done.stderr
    drawn = picture.read_bytes()
    assert int.from_bytes(drawn[16:20], "big") == 960
    assert len(drawn) > 15_000  # axes, words and a line, not an empty page


def test_a_reading_that_was_corrected_stays_in_its_series(client: Client) -> None:
    code = cooked(client, 20)
    points = client.read(f"/v1/batches/{code}/cook-points?sort=seq&limit=1")["data"]
    path = f"/v1/batches/{code}/cook-points/{points[0]['entry']}/corrections"
    body = {"replaces": {"temperature": "300 °C"}, "reason": "The probe hung beside the kettle."}
    client.made(path, body)
    found = analysis(client, code)
    assert (found["readings"], found["highest"]["temperature"]["value"]) == (20, "300")


def test_an_event_stands_on_the_curve_at_its_time(client: Client) -> None:
    code = cooked(client)
    path = f"/v1/batches/{code}/events"
    own = {"event": "string-test", "temperature": 241, "happened_at": "2026-11-25T14:20:00Z"}
    client.made(path, own)
    client.made(path, {"event": "off-the-heat", "happened_at": "2026-11-25T15:05:10Z"})
    client.made(path, {"event": "foam", "happened_at": "2026-11-25T20:00:00Z"})  # none read then
    marks = client.read(f"/v1/batches/{code}/cook-curve")["marks"]
    told = [(mark["series"], mark["remark"], mark["minutes"]) for mark in marks]
    assert told == [("event", "string test", 75), ("event", "off the heat", 120.167)]
    assert marks[0]["temperature_c"] == 241
    assert 238 < marks[1]["temperature_c"] < 240
