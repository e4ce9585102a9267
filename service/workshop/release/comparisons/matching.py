"""Which row of one list stands for which of another: pure."""

from collections import defaultdict, deque
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Generic, TypeVar

T = TypeVar("T")
Key = Callable[[T], Hashable]


@dataclass(frozen=True, slots=True)
class Pair(Generic[T]):
    """A row on both sides, or on one; `moved` where the others kept their order around it."""

    left: T | None
    right: T | None
    moved: bool = False

    @property
    def sides(self) -> tuple[T | None, T | None]:
        return self.left, self.right

    @property
    def either(self) -> T:
        if (found := self.left if self.left is not None else self.right) is None:
            raise LookupError("a pair has a side")
        return found


def pairs(left: Sequence[T], right: Sequence[T], *keys: Key[T]) -> list[Pair[T]]:
    """Rows paired by the first key, what is left of them by the next, each time in their order;
    rows of the right alone come behind the row that they follow there."""
    matched: dict[int, int] = {}
    for key in keys:
        _match(left, right, key, matched)
    moved = _moved(matched)
    places: list[tuple[int | None, int | None]] = [(n, matched.get(n)) for n in range(len(left))]
    for n in sorted(set(range(len(right))) - set(matched.values())):
        places.insert(_after(places, n - 1), (None, n))
    return [
        Pair(None if a is None else left[a], None if b is None else right[b], a in moved)
        for a, b in places
    ]


def _after(places: Sequence[tuple[int | None, int | None]], place: int) -> int:
    """Where a row goes that follows this one on the right: behind what the left alone has there."""
    found = next((i for i, (_, there) in enumerate(places) if there == place), -1) + 1
    while found < len(places) and places[found][1] is None:
        found += 1
    return found


def _match(left: Sequence[T], right: Sequence[T], key: Key[T], matched: dict[int, int]) -> None:
    free: dict[Hashable, deque[int]] = defaultdict(deque)
    taken = set(matched.values())
    for n, row in enumerate(right):
        if n not in taken:
            free[key(row)].append(n)
    for n, row in enumerate(left):
        if n not in matched and free[key(row)]:
            matched[n] = free[key(row)].popleft()


def _moved(matched: dict[int, int]) -> set[int]:
    """Of the paired rows those that do not stand in the order that most of them kept."""
    here = sorted(matched)
    there = sorted(matched, key=lambda n: matched[n])
    kept = SequenceMatcher(None, here, there, autojunk=False).get_matching_blocks()
    stayed = {n for block in kept for n in here[block.a : block.a + block.size]}
    return set(here) - stayed
