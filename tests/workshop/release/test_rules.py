"""What stands against a release, decided without a database."""

from dataclasses import replace

import pytest

from service.workshop.release.rules import OnJar, Standing, obstacles

READY = Standing(
    lot="SPAR-2611-07A-M",
    quality="quarantine",
    reopened=False,
    bulk="SPAR-2611-07-L",
    bulk_quality="released",
    filled=True,
    label=OnJar(1),
)


def codes(of: Standing, *, with_bulk: bool = False, waived: bool = False) -> list[str]:
    return [one.code for one in obstacles(of, with_bulk=with_bulk, waived=waived)]


def test_nothing_stands_against_what_is_ready() -> None:
    assert codes(READY) == []


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"quality": "released"}, ["already-released"]),
        ({"quality": "released", "reopened": True}, []),
        ({"quality": "recalled"}, ["not-releasable"]),
        ({"bulk_quality": "quarantine"}, ["bulk-not-released"]),
        ({"bulk_quality": "rejected"}, ["bulk-not-releasable"]),
        ({"filled": False}, ["fill-unknown"]),
        ({"deviations": [("D-26-001", "SPAR-2611-07-L", "foamed")]}, ["deviation-open"]),
        ({"label": OnJar()}, ["label-not-frozen"]),
        ({"label": OnJar(1, differs=["net"])}, ["label-differs"]),
        ({"label": None, "bulk_quality": "quarantine", "filled": False}, []),
    ],
)
def test_each_obstacle_is_named(change: dict[str, object], found: list[str]) -> None:
    # Each case changes one field, of whatever type that field is.
    assert codes(replace(READY, **change)) == found  # type: ignore[arg-type]


def test_the_bulk_goes_along_only_where_it_can() -> None:
    assert codes(replace(READY, bulk_quality="quarantine"), with_bulk=True) == []
    stuck = replace(READY, bulk_quality="rejected")
    assert codes(stuck, with_bulk=True) == ["bulk-not-releasable"]


def test_a_waiver_covers_a_difference_and_never_a_gap() -> None:
    gap = {"detail": "no telephone", "concluded_by": "PATCH /v1/workshop"}
    of = replace(READY, label=OnJar(1, gaps=[gap], differs=["supplier"]))
    assert codes(of, waived=True) == ["label-undecided"]
