"""The batch record over the examples' story: every item of 21 CFR 211.188, and what is missing
where an entry is."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from service.examples import load
from tests.makers.story import Change, Story, begun, told

ITEMS = [f"A{number}" for number in range(14)]
OF_PACKS = ["A6", "A8", "A9", "A10", "A13"]
RECORD = "/v1/batches/{varnish}/record"


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Story:
    return begun(tmp_path_factory.mktemp("story") / "planned.sqlite")


@pytest.fixture(scope="module")
def whole(planned: Story, tmp_path_factory: pytest.TempPathFactory) -> Story:
    return told(planned, tmp_path_factory.mktemp("whole") / "shop.sqlite")


@pytest.fixture(scope="module")
def data(whole: Story) -> dict[str, Any]:
    """What the frozen record of the released varnish says, by item."""
    record = whole.read(RECORD + "/revisions/2")
    return {one["item"]: one["data"] for one in record["items"]}


def test_the_whole_story_leaves_nothing_out(whole: Story) -> None:
    record = whole.read(RECORD)
    assert [one["item"] for one in record["items"]] == ITEMS
    assert {one["stands"] for one in record["items"]} == {"yes"}
    assert (record["missing"], record["frozen"]) == ([], [1, 2])


def test_a_batch_without_entries_lists_all_but_the_recipe(planned: Story) -> None:
    record = planned.read(RECORD)
    assert record["missing"] == ITEMS[1:]
    waiting = [one["item"] for one in record["items"] if one["stands"] == "not yet"]
    assert waiting == OF_PACKS


def without_line(number: str) -> Change:
    return lambda page: page["lines"].pop(number)


def without(name: str) -> Change:
    return lambda body: body.pop(name)


@pytest.mark.parametrize(
    ("item", "left_out", "change"),
    [
        ("A1", (), {"0707": without_line("8")}),
        ("A4", (), {"0707": without_line("2")}),
        ("A5", (), {"0707": without_line("6")}),
        ("A5", (), {"0707": without_line("7")}),
        ("A6", ("0810",), {}),
        ("A6", ("0811", "0812"), {}),
        ("A6", (), {"0810": without("by")}),
        ("A8", ("0804",), {}),
        ("A10", ("0813",), {}),
        ("A11", (), {"0703": without("by")}),
        ("A12", ("0709",), {}),
        ("A13", ("0814",), {}),
    ],
)
def test_without_one_entry_exactly_its_item_is_missing(
    planned: Story,
    tmp_path: Path,
    item: str,
    left_out: tuple[str, ...],
    change: dict[str, Change],
) -> None:
    story = told(planned, tmp_path / "shop.sqlite", without=left_out, change=change)
    record = story.read(RECORD)
    assert record["missing"] == [item]
    lacking = {one["item"]: one["lacks"] for one in record["items"] if one["lacks"]}
    assert list(lacking) == [item]
    if item != "A12":  # with an open deviation nothing is released
        assert story.read(RECORD + "/revisions/2")["missing"] == [item]


def test_without_what_the_balance_reads_to_exactly_the_equipment_is_missing(
    planned: Story, tmp_path: Path
) -> None:
    story = told(planned, tmp_path / "shop.sqlite")
    assert story.client.patch("/v1/equipment/BAL-6KG", {"reads_to": None}).status_code == 200
    assert story.read(RECORD)["missing"] == ["A2"]
    # What was frozen says what was known then.
    assert story.read(RECORD + "/revisions/2")["missing"] == []


def test_without_any_weighing_neither_lots_nor_weights_stand(
    planned: Story, tmp_path: Path
) -> None:
    def unweighed(page: dict[str, Any]) -> None:
        page["lines"] = {line: saw for line, saw in page["lines"].items() if line in "678"}

    story = told(
        planned,
        tmp_path / "shop.sqlite",
        without=("0703", "0706", "0710"),
        change={"0707": unweighed},
        until="0707",
    )
    lacking = ["A2", "A3", "A4", *OF_PACKS]
    assert set(story.read(RECORD)["missing"]) == set(lacking)


def test_without_the_log_neither_readings_nor_times_of_the_heat_stand(
    planned: Story, tmp_path: Path
) -> None:
    story = told(planned, tmp_path / "shop.sqlite", without=("0704", "0705"))
    assert story.read(RECORD)["missing"] == ["A1", "A5"]


def test_before_the_yield_of_what_is_made_exactly_what_came_out_is_missing(
    planned: Story, tmp_path: Path
) -> None:
    def unfinished(page: dict[str, Any]) -> None:
        page.pop("yield")
        page.pop("finished")

    story = told(planned, tmp_path / "shop.sqlite", change={"0707": unfinished}, until="0709")
    record = story.read(RECORD)
    assert (record["state"], record["frozen"]) == ("running", [])
    assert set(record["missing"]) == {"A7", *OF_PACKS}


def test_a_yield_without_the_end_lacks_the_time_of_the_end(planned: Story, tmp_path: Path) -> None:
    def unfinished(page: dict[str, Any]) -> None:
        page.pop("finished")

    story = told(planned, tmp_path / "shop.sqlite", change={"0707": unfinished}, until="0709")
    record = story.read(RECORD)
    assert set(record["missing"]) == {"A1", *OF_PACKS}
    assert record["items"][1]["lacks"] == ["It has not ended."]


def test_nothing_is_told_before_the_beginning_or_after_the_end(data: dict[str, Any]) -> None:
    told_so = [one["what"] for one in data["A1"]["steps"]]
    assert told_so[0] == "begun"
    end = told_so.index("complete")
    assert told_so[end - 1].endswith("came out")
    made = [one for one in told_so if "weighed in" in one or "off the heat" in one]
    assert len(made) == 5
    assert all(told_so.index(one) < end for one in made)
    assert [one["what"] for one in data["A11"]["steps"]] == told_so


def test_a_time_of_which_only_the_day_is_known_says_so_wherever_it_stands(whole: Story) -> None:
    record = whole.read(RECORD + "/revisions/2")
    assert (record["begun_about"], record["ended_about"]) == (None, "PT12H")
    items = {one["item"]: one["data"] for one in record["items"]}
    weighed = [line["entries"][0]["about"] for line in items["A4"]["lines"]]
    assert weighed == [None, "PT12H", "PT12H", "PT12H"]
    assert {one["about"] for one in items["A5"]["seen"]} == {"PT12H"}
    assert items["A7"]["yield"]["about"] == "PT12H"
    page = whole.client.get(
        RECORD.format(**whole.kept) + "/revisions/2?form=html", headers={"Accept": "text/html"}
    ).text
    assert page.count("11:00 ±") > 2 * len(weighed)
    assert "POST /v1" not in page


LOGGED = next(call.request for call in load() if call.file.startswith("0704-"))
READ = [row[LOGGED["columns"].index("temperature_c")] for row in LOGGED["rows"]]
HOTTEST = max(celsius for celsius in READ if celsius is not None and celsius < 400)

# 21 CFR 211.188, paragraph by paragraph, and what the story entered for it.
Seen = Callable[[dict[str, Any]], Any]
PARAGRAPHS: list[tuple[str, str, Seen, Any]] = [
    # (a) an accurate reproduction of the master record, checked for accuracy, dated and signed
    ("(a)", "A0", lambda d: [line["parts"] for line in d["copy"]["lines"]],
     ["1", "1.2", "0.8", None]),
    ("(a)", "A0", lambda d: (d["checked_by"], d["checked_at"][-1], len(d["sha256"])),
     ("MB", "Z", 64)),
    # (b)(1) dates
    ("(b)(1)", "A1", lambda d: d["begun_at"], "2026-09-15T11:40:00Z"),
    # (b)(2) identity of the major equipment
    ("(b)(2)", "A2", lambda d: [one["code"] for one in d["equipment"]], ["KETTLE-2", "BAL-6KG"]),
    ("(b)(2)", "A2", lambda d: d["equipment"][1]["reads_to"], {"value": "1", "unit": "g"}),
    # (b)(3) each batch of component or in-process material
    ("(b)(3)", "A3", lambda d: sorted(one["material"] for one in d["lots"]),
     ["OIL-LIN", "OIL-TUNG", "RESIN-ZN", "WSPIRIT"]),
    # (b)(4) weights and measures of components
    ("(b)(4)", "A4", lambda d: [one["weighed"]["value"] for one in d["lines"]],
     ["1149.5", "1379", "925", "2230"]),
    ("(b)(4)", "A4", lambda d: [one["verdict"] for one in d["lines"]],
     ["within", "within", "over", "within"]),
    # (b)(5) in-process control results
    ("(b)(5)", "A5", lambda d: d["log"][0]["highest"]["value"], str(HOTTEST)),
    ("(b)(5)", "A5", lambda d: [one["saw"] for one in d["seen"]][:2],
     ["string 3 cm", "clear when cold"]),
    # (b)(6) inspection of the packaging and labelling area before and after use
    ("(b)(6)", "A6", lambda d: [(one["moment"], one["place"], one["by"]) for one in d["checks"]],
     [("before", "both", "JK"), ("after", "both", "JK")]),
    # (b)(7) actual yield, and percentage of theoretical yield
    ("(b)(7)", "A7", lambda d: d["yield"]["amount"], {"value": "5.478", "unit": "kg"}),
    # 5478 g of 5490 g
    ("(b)(7)", "A7", lambda d: d["yield"]["of_theory"], {"value": "99.8", "unit": "%"}),
    # (b)(8) labelling control records, with copies of the labelling used
    ("(b)(8)", "A8", lambda d: d["lots"][0]["print"]["net"], "250 ml"),
    ("(b)(8)", "A8", lambda d: [d["lots"][0][n] for n in ("printed", "used", "spoiled")],
     [26, 24, 2]),
    # (b)(9) containers and closures
    ("(b)(9)", "A9", lambda d: [d["lots"][0][n] for n in ("container", "closure", "count")],
     ["JAR-250", "LID-63", 24]),
    # (b)(10) any sampling performed
    ("(b)(10)", "A10", lambda d: (d["samples"][0]["amount"]["value"], d["samples"][0]["kept_at"]),
     ("50", "sample shelf, box 4")),
    # (b)(11) who performed and who checked each significant step
    ("(b)(11)", "A11", lambda d: [one["said"] for one in d["steps"] if one["line"] == 1],
     ["MB did it, JK checked it"]),
    ("(b)(11)", "A11", lambda d: {one["by"] for one in d["steps"]}, {"MB", "JK"}),
    # (b)(12) investigations
    ("(b)(12)", "A12", lambda d: [one["conclusion"][:20] for one in d["deviations"]],
     ["6 g of tung oil too "]),
    # (b)(13) examinations of packaged and labelled products (211.134)
    ("(b)(13)", "A13", lambda d: d["lots"][0]["examinations"][0]["examined"], 24),
    ("(b)(13)", "A13", lambda d: d["lots"][0]["fill_check"]["verdict"], "pass"),
]  # fmt: skip


@pytest.mark.parametrize(("paragraph", "item", "seen", "entered"), PARAGRAPHS)
def test_each_paragraph_of_the_rule_finds_what_was_entered(
    data: dict[str, Any], paragraph: str, item: str, seen: Seen, entered: Any
) -> None:
    assert seen(data[item]) == entered, paragraph


def test_no_paragraph_and_no_item_is_left_out() -> None:
    assert {paragraph for paragraph, *_ in PARAGRAPHS} == {
        "(a)",
        *(f"(b)({number})" for number in range(1, 14)),
    }
    assert {item for _, item, *_ in PARAGRAPHS} == set(ITEMS)


def texts(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield name
            yield from texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner)
    elif isinstance(value, str):
        yield value


def test_no_price_no_supplier_and_no_name_of_a_person_stands_in_it(whole: Story) -> None:
    people = [one["name"] for one in whole.read("/v1/people")["data"] if one["name"]]
    (receipt, *_) = whole.read("/v1/receipts")["data"]
    said = " ".join(texts(whole.read(RECORD)))
    assert people
    for secret in (*people, receipt["from"], "price", "cost"):
        assert secret not in said
