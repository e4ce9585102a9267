"""The preview of a batch sheet as a page to print, and which form is answered."""

import re
from typing import Any

import pytest

from service.press.html import STYLE_CSP_HASH
from tests.client import Client
from tests.makers import batches, recipes, scalings, stages
from tests.makers.batches import line_of
from tests.makers.scaling_sheets import PAGE, address, printed

POUR = "below 70 °C, flame out"


def test_three_cautions_of_a_stage_stand_and_the_rest_are_folded(client: Client) -> None:
    batches.stocked(client)
    path = address(client)
    cook = client.read(path)["steps"][0]
    dangers = [row["danger"] for row in (*cook["cautions"], *cook["folded_cautions"])]
    assert (len(cook["cautions"]), cook["folded"]) == (3, len(cook["folded_cautions"]))
    assert dangers == sorted(dangers)
    shown = printed(client, path)
    folds = shown.index(f"More cautions: {cook['folded']}")
    assert all(shown.index(row["text"]) < folds for row in cook["cautions"])
    assert all(shown.index(row["text"]) > folds for row in cook["folded_cautions"])


def test_what_is_added_as_it_needs_has_an_empty_field(client: Client) -> None:
    lots = stages.paddle(client)
    path = address(client, "2 kg", code="PADDLE-OIL")
    line = line_of(client.read(path), 4)
    assert not {"target", "allow", "from"} & set(line)
    assert [row["lot"] for row in line["others"]] == [lots["OIL-TUNG"]]
    row = _row(printed(client, path), 4)
    assert "as much as it needs: it runs off the stick" in row
    assert 'class="figure"' not in row
    assert '<td class="actual">g</td>' in row


def _row(page: str, number: int) -> str:
    """The line of a page that bears a number."""
    start = page.index(f'<th scope="row" class="number">{number}</th>')
    return page[start : page.index("</tr>", start)]


def test_a_condition_stands_beside_its_weighing_on_paper(client: Client) -> None:
    lines: list[Any] = [*stages.PADDLE["lines"]]
    lines[2] = {**lines[2], "condition": POUR}
    lots = stages.paddle(client, lines=lines)
    row = _row(printed(client, address(client, "2 kg", code="PADDLE-OIL")), 3)
    assert POUR in row
    assert lots["WSPIRIT"] in row


def test_the_sheet_names_its_scaling_and_the_digest_of_it(client: Client) -> None:
    batches.stocked(client)
    path = address(client)
    sheet = client.read(path)
    assert re.fullmatch(r"[0-9a-f]{64}", sheet["sha256"])
    shown = printed(client, path)
    assert f"{sheet['scaling']}, sha256 {sheet['sha256']}" in shown
    other = client.read(address(client))
    assert other["sha256"] != sheet["sha256"]


def test_what_is_to_be_seen_to_first_stands_before_the_work_and_what_is_short_after_it(
    client: Client,
) -> None:
    batches.stocked(client)
    path = address(client)
    sheet, shown = client.read(path), printed(client, path)
    assert sheet["to_make"][0]["material"] == "RESIN-ZN"
    assert sheet["shopping"][0]["made_by"] == "RESIN-ZN"
    assert line_of(sheet, 1)["short"]["value"] == line_of(sheet, 1)["target"]["value"]
    begins, yields = shown.index('class="stage"'), shown.index("Weigh what came out")
    assert shown.index("<h2>To make first</h2>") < begins
    for heading in ("To buy or to make", "What called for each caution"):
        assert shown.index(f"<h2>{heading}</h2>") > yields


def test_what_to_look_at_stands_before_the_work(client: Client) -> None:
    recipes.shelf(client)
    line = {"material": "OIL-LIN", "parts": 1}
    scalings.made_by(client, "TINY", line, {"material": "ROSIN", "parts": 0.01})
    path = address(client, "100 g", code="TINY")
    assert client.read(path)["flags"]
    shown = printed(client, path)
    looks = shown.index("<h2>To look at before the work</h2>")
    assert looks < shown.index('class="stage"')
    assert f"<p>Line 2: {client.read(path)['flags'][0]['text']}</p>" in shown


def test_no_heading_stands_over_a_column_too_narrow_for_it(client: Client) -> None:
    batches.stocked(client)
    shown = printed(client, address(client))
    assert "<p>RESIN-ZN: 1149 g for SPAR, by RESIN-ZN, version 1: " in shown
    assert 'class="rows"' not in shown


def test_what_stands_behind_a_figure_of_a_line_is_on_paper_too(client: Client) -> None:
    batches.stocked(client)
    path = address(client)
    sheet, shown = client.read(path), printed(client, path)
    cool, came_out = line_of(sheet, 7), line_of(sheet, 8)
    assert "115 °C calculated: 120 °C at most, less 5 K (" in _row(shown, 7)
    assert "initial boiling point 150 °C" in _row(shown, 7)
    assert sheet["notes"][came_out["target"]["note"]]["how"] in _row(shown, 8)
    assert cool["to"]["note"]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_page_is_set_for_its_paper_under_its_policy(client: Client, paper: str) -> None:
    batches.stocked(client)
    answer = client.get(address(client), params={**PAGE, "paper": paper})
    assert f'<body class="{paper}">' in answer.text
    assert answer.headers["content-type"].startswith("text/html")
    assert STYLE_CSP_HASH in answer.headers["content-security-policy"]
    assert answer.headers["cache-control"] == "private, no-cache"


@pytest.mark.parametrize(
    ("accept", "form", "media"),
    [
        ("text/html", None, "text/html"),
        ("application/json", None, "application/json"),
        ("*/*", None, "application/json"),
        ("text/html", "json", "application/json"),
        ("application/json", "html", "text/html"),
    ],
)
def test_a_form_asked_for_by_name_comes_before_what_a_browser_accepts(
    client: Client, accept: str, form: str | None, media: str
) -> None:
    batches.stocked(client)
    params = {"form": form} if form else {}
    answer = client.get(address(client), headers={"Accept": accept}, params=params)
    assert answer.headers["content-type"].startswith(media)
    assert answer.headers["vary"] == "Accept"


def test_an_unchanged_sheet_is_not_sent_again(client: Client) -> None:
    batches.stocked(client)
    path = address(client)
    tags = [client.get(path, params=params).headers["etag"] for params in ({}, PAGE)]
    assert tags[0] != tags[1]
    for params, tag in zip(({}, PAGE), tags, strict=True):
        answer = client.get(path, params=params, headers={"If-None-Match": tag})
        assert (answer.status_code, answer.content) == (304, b"")


@pytest.mark.parametrize("asked", [{"form": "pdf"}, {"paper": "a5"}, {"size": "a4"}])
def test_an_unknown_form_or_paper_is_named(client: Client, asked: dict[str, str]) -> None:
    batches.stocked(client)
    answer = client.get(address(client), params=asked)
    assert answer.status_code in {400, 422}
    assert answer.json()["errors"][0]["parameter"] == next(iter(asked))


def test_neither_form_is_had_as_a_picture(client: Client) -> None:
    batches.stocked(client)
    answer = client.get(address(client), headers={"Accept": "image/png"})
    assert answer.status_code == 406


def test_a_draft_says_so_on_every_form(client: Client) -> None:
    batches.stocked(client)
    client.made("/v1/recipes/SPAR/versions", {"why": "to try it", "lines": recipes.SPAR["lines"]})
    path = address(client, version=2)
    assert client.read(path)["draft"] is True
    assert "Draft: to look at, never to make a batch from" in printed(client, path)


def test_names_are_set_as_words_and_never_as_markup(client: Client) -> None:
    batches.stocked(client)
    client.patch("/v1/materials/ROSIN", {"name": "rosin <b>N</b> & more"})
    answer = client.get(address(client, "1 kg", code="RESIN-ZN"), params=PAGE)
    assert "rosin &lt;b&gt;N&lt;/b&gt; &amp; more" in answer.text
