"""Which row of one list stands for which of another."""

from hypothesis import given
from hypothesis import strategies as st

from service.workshop.release.comparisons.matching import pairs

ROWS = st.lists(st.sampled_from("ABCD"), max_size=8)


def drawn(left: str, right: str) -> list[tuple[str, str, bool]]:
    found = pairs(left, right, lambda row: row)
    return [(pair.left or "-", pair.right or "-", pair.moved) for pair in found]


@given(ROWS, ROWS)
def test_every_row_stands_once_and_only_beside_its_like(left: list[str], right: list[str]) -> None:
    found = pairs(left, right, lambda row: row)
    assert [pair.left for pair in found if pair.left is not None] == left
    assert sorted(pair.right for pair in found if pair.right is not None) == sorted(right)
    assert all(None in pair.sides or pair.left == pair.right for pair in found)


@given(ROWS)
def test_a_list_beside_itself_moves_nothing(rows: list[str]) -> None:
    assert all(pair.left == pair.right and not pair.moved for pair in pairs(rows, rows, ord))


@given(ROWS, ROWS)
def test_nothing_is_left_alone_that_has_its_like_on_the_other_side(
    left: list[str], right: list[str]
) -> None:
    found = pairs(left, right, lambda row: row)
    alone = [{pair.left for pair in found if pair.right is None}]
    alone.append({pair.right for pair in found if pair.left is None})
    assert alone[0].isdisjoint(alone[1])


def test_only_the_row_that_went_elsewhere_is_moved() -> None:
    assert drawn("ABCD", "DABC") == [
        ("A", "A", False),
        ("B", "B", False),
        ("C", "C", False),
        ("D", "D", True),
    ]


def test_what_came_in_stands_behind_what_went_from_there() -> None:
    assert drawn("AB", "AC") == [("A", "A", False), ("B", "-", False), ("-", "C", False)]


def test_a_closer_key_pairs_first() -> None:
    found = pairs(["a1", "a2"], ["a2", "a3"], lambda row: row, lambda row: row[0])
    assert [pair.sides for pair in found] == [("a1", "a3"), ("a2", "a2")]
