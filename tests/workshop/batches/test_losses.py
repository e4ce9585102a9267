"""The loss of a version, measured by its batches and kept true when they are corrected."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers.batches import planned, stocked

# 1200 g in and 1150 g out: 50/1200 is 4.17 %.
PAGE = {"lines": {"1": "1143", "2": "57"}, "yield": "1.15 kg", "finished": True}


def finished(client: Client, **changes: Any) -> tuple[str, dict[str, Any]]:
    """A resinate that is complete, and the answer to its page."""
    stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    return code, client.made(f"/v1/batches/{code}/pages", {**PAGE, **changes})


def losses(client: Client) -> list[dict[str, Any]]:
    """Every figure of the loss of the version, the oldest first."""
    query = "subject_kind=version&subject=RESIN-ZN/1&property=loss&sort=number"
    found: list[dict[str, Any]] = client.read(f"/v1/figures?{query}")["data"]
    return found


def correct(client: Client, code: str, line: int, **body: Any) -> dict[str, Any]:
    path = f"/v1/batches/{code}/lines/{line}/corrections"
    return client.made(path, {"reason": "read from the wrong line", **body})


def told(made: dict[str, Any]) -> list[tuple[str, bool]]:
    return [(figure["value"], figure["void"]) for figure in made["figures"]]


def test_a_complete_batch_measures_the_loss_of_its_version(client: Client) -> None:
    code, made = finished(client, on="2026-11-25")
    (figure,) = losses(client)
    assert (figure["value"], figure["unit"], figure["basis"]) == ("4.17", "%", "measured")
    assert figure["method"] == f"yield of batch {code} over what was weighed in"
    assert figure["dated"] == "2026-11-25"
    assert [each["figure"] for each in made["figures"]] == [figure["figure"]]
    assert made["flags"] == []


def test_a_batch_that_is_moved_to_complete_tells_its_loss_too(client: Client) -> None:
    code, _ = finished(client, finished=False)
    made = client.made(f"/v1/batches/{code}/transitions", {"to": "complete"})
    assert told(made) == [("4.17", False)]


@pytest.mark.parametrize(
    ("line", "replaces", "loss"),
    # 51/1201 and 38/1200.
    [(1, {"weighed": "1144 g"}, "4.25"), (5, {"yield": "1.162 kg"}, "3.17")],
)
def test_a_correction_corrects_the_loss(
    client: Client, line: int, replaces: dict[str, str], loss: str
) -> None:
    code, _ = finished(client)
    made = correct(client, code, line, replaces=replaces)
    first, second = losses(client)
    assert told(made) == [(loss, False)]
    assert (first["corrected_by"], second["value"]) == (second["figure"], loss)
    assert second["reason"] == "read from the wrong line"
    assert second["happened_at"] == first["happened_at"]


def test_a_correction_that_changes_no_amount_leaves_the_loss(client: Client) -> None:
    code, _ = finished(client)
    made = correct(client, code, 1, replaces={"weighed": "1.143 kg"})
    assert made["figures"] == []
    assert len(losses(client)) == 1


def test_a_loss_that_cannot_be_worked_out_any_longer_is_voided_until_it_can(
    client: Client,
) -> None:
    code, _ = finished(client)
    made = correct(client, code, 2, void=True)
    assert [figure["void"] for figure in made["figures"]] == [True]
    assert made["flags"][-1]["code"] == "loss-not-measured"
    late = client.made(f"/v1/batches/{code}/weighings", {"line": 2, "amount": "57 g"})
    assert told(late) == [("4.17", False)]


def test_a_line_without_a_weighing_measures_no_loss(client: Client) -> None:
    code, made = finished(client, lines={"1": "1143"})
    flag = made["flags"][-1]
    assert made["figures"] == losses(client) == []
    assert flag["text"] == (
        "The loss of the version is not recorded from this batch: line 2 has no weighing."
    )
    assert flag["opens"] is None
    late = client.made(f"/v1/batches/{code}/pages", {"lines": {"2": "57"}})
    assert told(late) == [("4.17", False)]


def test_a_loss_that_cannot_be_never_keeps_a_batch_from_its_end(client: Client) -> None:
    code, made = finished(client, **{"yield": "3 kg"})
    assert (made["state"], made["lot"]) == ("complete", code)
    assert made["figures"] == losses(client) == []
    assert "outside -50 to 99" in made["flags"][-1]["text"]


def test_an_aborted_batch_measures_nothing(client: Client) -> None:
    code, _ = finished(client, finished=False)
    client.made(f"/v1/batches/{code}/transitions", {"to": "aborted"})
    made = correct(client, code, 1, replaces={"weighed": "1144 g"})
    assert made["figures"] == losses(client) == []
