"""The check of a fill and the day until which it keeps."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.lots.rules import check, expires_on

ONE = Decimal(1)


def ml(*volumes: str) -> list[int]:
    """Volumes in ml of a liquid of 1 kg/l, as milligrams."""
    return [int(Decimal(volume) * 1000) for volume in volumes]


@pytest.mark.parametrize(
    ("nominal", "fills", "verdict", "tolerable"),
    [
        # Directive 76/211/EEC, Annex I 2.4: 200 to 300 ml 9 ml, 100 to 200 ml 4.5 %,
        # 500 to 1000 ml 15 ml; 1: the mean not below the nominal quantity.
        (250, ("251.2", "249.0", "250.6", "248.8", "252.1"), "pass", "9"),
        (250, ("249.9", "249.9"), "fail", "9"),
        (120, ("120.0", "120.0"), "pass", "5.4"),
        (1000, ("1000", "1000"), "pass", "15"),
        # Annex I 2.4 and 1.3: one of two below 241 ml, one below 232 ml.
        (250, ("240.9", "262"), "fail", "9"),
        (250, ("231.9", "270"), "fail", "9"),
    ],
)
def test_a_fill_is_judged_by_its_mean_and_by_each_pack(
    nominal: int, fills: tuple[str, ...], verdict: str, tolerable: str
) -> None:
    found = check(nominal * 1000, ml(*fills), count=len(fills), density_kg_l=ONE)
    assert (found.verdict, found.tolerable) == (verdict, Decimal(tolerable))


def test_below_five_millilitres_the_mean_alone_is_judged() -> None:
    found = check(4000, ml("4.1", "3.9"), count=2, density_kg_l=ONE)
    assert (found.verdict, found.why, found.tolerable) == ("pass", "no table value", None)


@pytest.mark.parametrize(("count", "weighed"), [(3, 2), (2, 0), (100, 100)])
def test_what_cannot_be_judged_is_not_checked_and_says_why(count: int, weighed: int) -> None:
    found = check(250_000, ml("250") * weighed, count=count, density_kg_l=ONE)
    assert found.verdict == "not-checked"
    assert str(count) in found.why
    assert found.mean is None


def test_one_pack_in_forty_may_lie_below_the_first_limit() -> None:
    fills = ml("240", *["251"] * 39)
    assert check(250_000, fills, count=40, density_kg_l=ONE).verdict == "pass"
    assert check(250_000, fills[:39], count=39, density_kg_l=ONE).verdict == "fail"


@given(
    st.lists(st.integers(200_000, 300_000), min_size=1, max_size=30),
    st.integers(1, 50_000),
)
def test_more_in_every_pack_never_fails_what_passed(nets: list[int], more: int) -> None:
    once = check(250_000, nets, count=len(nets), density_kg_l=ONE)
    again = check(250_000, [net + more for net in nets], count=len(nets), density_kg_l=ONE)
    assert again.verdict == "pass" or once.verdict == "fail"


@pytest.mark.parametrize(
    ("made", "months", "until"),
    [
        (date(2026, 11, 25), 24, date(2028, 11, 25)),
        (date(2026, 12, 31), 2, date(2027, 2, 28)),
        (date(2027, 12, 31), 2, date(2028, 2, 29)),
        (None, 24, None),
        (date(2026, 11, 25), None, None),
    ],
)
def test_shelf_life_runs_from_making(
    made: date | None, months: int | None, until: date | None
) -> None:
    assert expires_on(made, months) == until
