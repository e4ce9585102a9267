"""What follows for a mixture from the lots in it, whatever they are."""

from datetime import UTC, date, datetime
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from service.workshop.materials.queries import Material
from service.workshop.stock.actions.mixing import follows
from service.workshop.stock.queries import Lot
from service.workshop.stock.rules import QUALITIES, earliest

NOW = datetime(2026, 11, 25, tzinfo=UTC)
DAYS = st.none() | st.dates(date(2020, 1, 1), date(2040, 1, 1))


def material(start: str = "released") -> Material:
    return Material(
        code="OIL-LIN",
        name="oil",
        kind="ingredient",
        lots_start_as=start,
        lot_prefix="LIN",
        created_at=NOW,
    )


def lot(**more: Any) -> Lot:
    plain = {
        "number": "LIN-1",
        "compact": "LIN1",
        "kind": "received",
        "material": "OIL-LIN",
        "measure": "mass",
        "quality": "released",
        "amount_in": 1,
        "created_at": NOW,
    }
    return Lot(**{**plain, **more})


LOTS = st.lists(
    st.builds(
        lot,
        quality=st.sampled_from(QUALITIES),
        expires_on=DAYS,
        retest_on=DAYS,
        ready_on=DAYS,
        product=st.sampled_from([None, "SPAR", "SEALER"]),
    ),
    min_size=1,
    max_size=6,
)


@given(lots=LOTS, start=st.sampled_from(["released", "quarantine"]))
def test_it_is_released_only_where_all_of_it_is(lots: list[Lot], start: str) -> None:
    found = follows(material(start), lots)
    good = start == "released" and all(each.quality == "released" for each in lots)
    assert found.quality == ("released" if good else "quarantine")


@given(lots=LOTS)
def test_no_part_of_it_expires_before_it_does_and_none_is_ready_after(lots: list[Lot]) -> None:
    found = follows(material(), lots)
    for each in lots:
        if each.expires_on is not None:
            assert found.expires_on is not None
            assert found.expires_on <= each.expires_on
        if each.ready_on is not None:
            assert found.ready_on is not None
            assert found.ready_on >= each.ready_on
    assert found.expires_on in {each.expires_on for each in lots}
    assert found.retest_on in {each.retest_on for each in lots}


@given(lots=LOTS, data=st.data())
def test_the_order_of_pouring_changes_nothing(lots: list[Lot], data: Any) -> None:
    other = data.draw(st.permutations(lots))
    assert follows(material(), lots) == follows(material(), other)


@given(lots=LOTS)
def test_it_is_a_product_only_where_all_of_it_is_the_same(lots: list[Lot]) -> None:
    products = {each.product for each in lots}
    assert follows(material(), lots).product == (products.pop() if len(products) == 1 else None)


def test_conditions_go_along_with_the_lot_they_are_of() -> None:
    bound = [lot(number="LIN-1", condition="for primers only"), lot(number="LIN-2")]
    assert follows(material(), bound).condition == "LIN-1: for primers only"


def test_of_no_known_day_none_is_first() -> None:
    assert earliest(None, None) is None
    assert earliest(None, date(2027, 1, 1), date(2026, 1, 1)) == date(2026, 1, 1)
