"""The colour ladder: drops of the cook, each darker or lighter than the one before."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers.batches import planned, stocked

PHOTO = "sha256:" + "0123456789abcdef" * 4


def gardner(reading: str, sample: str = "liquid", **more: Any) -> dict[str, Any]:
    """A colour on the Gardner scale (ASTM D1544: 1 to 18)."""
    return {"scale": "Gardner", "reading": reading, "sample": sample, **more}


def ladder(client: Client) -> str:
    """The address of the ladder of a batch."""
    stocked(client)
    return f"/v1/batches/{planned(client, 'RESIN-ZN', '1.2 kg')}/colour-ladder"


def test_each_rung_says_by_how_much_it_is_darker_than_the_one_before(client: Client) -> None:
    path = ladder(client)
    for minutes, celsius, colour in ((0, 60, "7"), (45, 240, "9.5"), (60, 250, "9")):
        body = {"minutes": minutes, "temperature": celsius, "colour": gardner(colour)}
        client.made(path, body)
    rungs = client.read(path)["data"]
    assert [row["rung"] for row in rungs] == [1, 2, 3]
    steps = [row["darker_by"] and row["darker_by"]["value"] for row in rungs]
    assert steps == [None, "2.5", "-0.5"]
    assert rungs[1]["minutes"] == {"value": "45", "unit": "min"}
    assert rungs[1]["temperature"] == {"value": "240", "unit": "°C"}


@pytest.mark.parametrize(
    "other",
    [
        gardner("9", "melt"),
        gardner("not on this scale"),
        {"scale": "rosin grade", "reading": "WW", "sample": "cube"},
        gardner("9", "solution", solvent="toluene", solids="50 %"),
    ],
)
def test_colours_of_two_kinds_are_never_set_against_each_other(
    client: Client, other: dict[str, Any]
) -> None:
    path = ladder(client)
    client.made(path, {"colour": gardner("7")})
    made = client.made(path, {"colour": other})
    assert (made["rung"], made["darker_by"]) == (2, None)
    assert made["colour"]["reading"] == other["reading"]


def test_a_photo_may_come_before_its_file(client: Client) -> None:
    made = client.made(ladder(client), {"photo": PHOTO, "text": "like strong tea"})
    assert made["photo"] == {
        "name": PHOTO,
        "here": False,
        "href": f"/v1/attachments/{PHOTO}",
    }


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"minutes": 5}, "#"),
        ({"colour": gardner("19")}, "#/colour/reading"),
        ({"colour": gardner("9", "solution", solids="50 %")}, "#/colour/solvent"),
        ({"colour": gardner("not on this scale", "solution", solvent="oil")}, "#/colour/solids"),
        ({"text": "dark", "minutes": -1}, "#/minutes"),
        ({"photo": "drop.jpg"}, "#/photo"),
    ],
)
def test_what_is_no_colour_is_refused_at_its_place(
    client: Client, body: dict[str, Any], pointer: str
) -> None:
    answer = client.post(ladder(client), body)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == pointer


def test_a_drop_is_corrected_and_the_ladder_follows(client: Client) -> None:
    path = ladder(client)
    first = client.made(path, {"colour": gardner("7")})
    client.made(path, {"colour": gardner("9")})
    fix = {"replaces": {"colour": gardner("8")}, "reason": "read in lamplight"}
    made = client.made(f"{path}/{first['entry']}/corrections", fix)
    assert (made["rung"], made["corrects"]) == (1, first["entry"])
    rows = client.read(path)["data"]
    assert {row["entry"]: row["rung"] for row in rows}[first["entry"]] is None
    assert [row["darker_by"]["value"] for row in rows if row["darker_by"]] == ["1"]
    void = {"void": True, "reason": "another pot"}
    assert client.made(f"{path}/{made['entry']}/corrections", void)["rung"] is None
    emptied = {"replaces": {"colour": None}, "reason": "x"}
    last = client.read(path)["data"]
    stands = next(row for row in last if row["rung"] == 1)
    answer = client.post(f"{path}/{stands['entry']}/corrections", emptied)
    assert answer.json()["errors"][0]["code"] == "drop-empty"
