"""What comes after a batch has ended: kept, told apart, and judged before release."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.batches.queries.record.late import End
from tests.client import Client
from tests.makers.batches import left, planned, stocked
from tests.makers.devices import ago, queue, weighed

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
SECONDS = st.integers(-200_000, 200_000)
ABOUT = st.integers(0, 50_000)


@given(SECONDS, ABOUT, ABOUT)
def test_what_may_have_happened_before_the_end_is_late(gap: int, own: int, ends: int) -> None:
    end = End("complete", NOON, timedelta(seconds=ends))
    at = NOON + timedelta(seconds=gap)
    assert end.lies_after(at, own) == (gap - own <= ends)
    if gap <= 0:
        assert end.lies_after(at, None)


def ended(client: Client, to: str = "complete") -> str:
    """A resinate that ended an hour ago, its zinc oxide not entered."""
    stocked(client)
    code = planned(client, "RESIN-ZN", "1.2 kg")
    body = {"line": 1, "amount": "1143", "happened_at": ago(hours=3)}
    client.made(f"/v1/batches/{code}/weighings", body)
    client.made(f"/v1/batches/{code}/yields", {"amount": "1.2 kg", "happened_at": ago(hours=1)})
    client.made(f"/v1/batches/{code}/transitions", {"to": to, "happened_at": ago(hours=1)})
    return code


QUEUED = queue(weighed(2, "57", age_s=7200), {"note": "clear on glass", "age_s": 5000})


def late(client: Client, code: str) -> list[tuple[Any, ...]]:
    rows = client.read(f"/v1/batches/{code}/late-entries")["data"]
    return [(row["kind"], row["late"], row["judged"]) for row in rows]


def test_a_queue_that_arrives_late_is_kept_under_one_deviation(client: Client) -> None:
    code = ended(client)
    made = client.made(f"/v1/batches/{code}/entries", QUEUED)
    flags = [flag for flag in made["flags"] if flag["code"] == "late-entry"]
    assert len(flags) == 1
    assert late(client, code) == [("weighings", True, "open"), ("batch-notes", True, "open")]
    shown = client.read(f"/v1/batches/{code}/weighings")["data"]
    assert [row["late"] for row in shown] == [False, True]
    assert client.read(f"/v1/batches/{code}/notes")["data"][0]["late"]
    path = f"/v1/deviations/{flags[0]['opens']}/conclusions"
    client.made(path, {"text": "The tablet lay in the shed."})
    assert {row[2] for row in late(client, code)} == {"accepted"}


def test_release_waits_until_late_entries_are_judged(client: Client) -> None:
    code = ended(client)
    before = client.read(f"/v1/lots/{code}/readiness")["stands_against"]
    (number,) = (
        flag["opens"]
        for flag in client.made(f"/v1/batches/{code}/entries", QUEUED)["flags"]
        if flag["code"] == "late-entry"
    )
    after = client.read(f"/v1/lots/{code}/readiness")["stands_against"]
    assert len(after) == len(before) + 1
    assert any(number in str(row) for row in after)


def test_a_late_entry_that_is_voided_needs_no_more_judging(client: Client) -> None:
    code = ended(client)
    body = {"line": 2, "amount": "57", "happened_at": ago(hours=2)}
    made = client.made(f"/v1/batches/{code}/weighings", body)
    (number,) = (flag["opens"] for flag in made["flags"] if flag["code"] == "late-entry")
    misread = {"replaces": {"weighed": "56"}, "reason": "misread"}
    client.made(f"/v1/batches/{code}/lines/2/corrections", misread)
    assert late(client, code) == [("weighings", True, "open")]
    void = {"void": True, "reason": "it was another batch"}
    client.made(f"/v1/batches/{code}/lines/2/corrections", void)
    assert late(client, code) == [("weighings", True, "voided")]
    found = client.read(f"/v1/deviations/{number}")
    assert (found["open"], found["conclusion"]) == (False, "Voided: it was another batch")
    assert left(client, made["lot"])["value"] == "500"


def test_what_happened_after_the_end_is_told_apart(client: Client) -> None:
    code = ended(client)
    made = client.made(f"/v1/batches/{code}/weighings", {"line": 2, "amount": "57"})
    assert [flag["code"] for flag in made["flags"]] == ["entry-after-completion"]
    assert not made["late"]
    assert late(client, code) == [("weighings", False, "open")]


def test_entries_to_a_batch_that_was_given_up_are_judged_alike(client: Client) -> None:
    code = ended(client, to="aborted")
    made = client.made(f"/v1/batches/{code}/entries", QUEUED)
    assert "late-entry" in {flag["code"] for flag in made["flags"]}


def test_a_correction_is_no_late_entry(client: Client) -> None:
    code = ended(client)
    change = {"replaces": {"weighed": "1143.5"}, "reason": "misread"}
    made = client.made(f"/v1/batches/{code}/lines/1/corrections", change)
    assert "late-entry" not in {flag["code"] for flag in made["flags"]}
    assert late(client, code) == []


def kinds() -> Iterator[Any]:
    yield "notes", {"text": "foam", "happened_at": ago(hours=2)}
    yield "cook-points", {"temperature": "240 °C", "happened_at": ago(hours=2)}
    acid = {"property": "acid_value", "value": "91 mg KOH/g", "method": "titration"}
    yield "figures", {**acid, "basis": "measured", "happened_at": ago(hours=2)}
    yield "entries", {"entries": [{"saw": {"line": 3, "text": "clear"}, "age_s": 7200}]}


@pytest.mark.parametrize(("path", "body"), list(kinds()))
def test_every_kind_of_entry_is_judged(client: Client, path: str, body: Any) -> None:
    code = ended(client)
    before = client.read(f"/v1/batches/{code}")["open_deviations"]
    client.made(f"/v1/batches/{code}/{path}", body)
    assert [row[1:] for row in late(client, code)] == [(True, "open")]
    after = client.read(f"/v1/batches/{code}")["open_deviations"]
    assert len(after) == len(before) + 1


def test_what_is_measured_of_the_finished_batch_is_not_late(client: Client) -> None:
    code = ended(client)
    acid = {"property": "acid_value", "value": "91 mg KOH/g", "basis": "measured", "method": "KOH"}
    assert client.made(f"/v1/batches/{code}/figures", acid)["flags"] == []
    assert late(client, code) == []
