"""README tells what is so: commands, settings, scopes and the output that it shows."""

import re
from dataclasses import fields
from pathlib import Path

from service.examples import load
from service.office.keys.rules import SCOPES
from service.settings import PREFIX, Settings, as_environment

README = (Path(__file__).parent.parent.parent / "README.md").read_text("utf-8")


def test_every_setting_stands_in_the_table_with_its_default() -> None:
    rows = dict(re.findall(r"^\| `(KETTLEMARK_\w+)` \| [^|]*\| `([^`]+)` \|", README, re.MULTILINE))
    assert set(rows) == {PREFIX + field.name.upper() for field in fields(Settings)}
    for field in fields(Settings):
        shown = rows[PREFIX + field.name.upper()]
        default = as_environment(Settings())[PREFIX + field.name.upper()]
        assert default.removesuffix(".0") == shown


def test_every_scope_is_told() -> None:
    assert all(f"`{scope}`" in README for scope in SCOPES)


def test_the_sentences_shown_are_those_of_the_scenario() -> None:
    (sheet,) = [call for call in load() if call.operation == "get_lot_json"][:1]
    told = [seen["text"] for seen in sheet.response["saw"]]
    told += [sheet.response["not_tried"]["text"]]
    told += [constant["text"] for constant in sheet.response["constants"]]
    assert "\n".join(told) in README
    assert sheet.response["lot"] in README


def test_the_job_stands_at_the_top_and_changes_at_the_end() -> None:
    assert README.splitlines()[0] == "# kettlemark"
    assert README.splitlines()[2].startswith("A REST API service for people who make")
    assert "\n## Changes\n" in README
