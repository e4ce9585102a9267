"""Pencil hardness: the grades in their order, and the hardest that leaves a film unmarked."""

from collections.abc import Sequence
from typing import NamedTuple

from service.science.ranges import count, one_of
from service.science.ratings import rating_scale

_SCALE = "ISO15184"
# Sets sold for ASTM D3363 end at these.
_SET_SOFTEST, _SET_HARDEST = "6B", "6H"
_SOFTER, _HARDER, _SAME = "softer", "harder", "the same"
_ON_WOOD = "on wood the grain decides with the film: state the wood, or test on glass"


class PencilRank(NamedTuple):
    """Where a grade stands, 9B being 0, and its neighbours (None beyond the ends)."""

    rank: int
    softer: str | None
    harder: str | None
    notes: tuple[str, ...]


class PencilOrder(NamedTuple):
    """What the first pencil is beside the second, and by how many grades."""

    first_is: str
    grades: int


class PencilStroke(NamedTuple):
    """A pencil drawn over the film.

    Fields: grade [one of `pencil_grades()`]; marked [yes or no, whether it left a mark].
    """

    grade: str
    marked: bool


class PencilHardness(NamedTuple):
    """The hardest grade without a mark, None if all marked, and the softest that marked."""

    hardness: str | None
    marked_by: str | None
    notes: tuple[str, ...]


def pencil_grades() -> tuple[str, ...]:
    """List the twenty grades of pencils from the softest to the hardest.

    Parameters: none. Raises: nothing. Returns: the grades. Source: ISO 15184.

    >>> pencil_grades()[0], pencil_grades()[-1], len(pencil_grades())
    ('9B', '9H', 20)
    """
    return rating_scale(_SCALE).values[::-1]


def pencil_rank(grade: str) -> PencilRank:
    """Place a pencil among the twenty grades.

    Parameters: grade [one of `pencil_grades()`].
    Returns: its rank from 0, the softest, to 19, and the grades beside it.
    Raises: OutOfRange for another word.
    Source: ISO 15184, order of the grades.

    >>> pencil_rank("HB").rank
    9
    """
    grades = pencil_grades()
    rank = _rank(grade, "grade")
    softer = grades[rank - 1] if rank else None
    harder = grades[rank + 1] if rank + 1 < len(grades) else None
    in_set = grades.index(_SET_SOFTEST) <= rank <= grades.index(_SET_HARDEST)
    note = f"sets for ASTM D3363 usually run from {_SET_SOFTEST} to {_SET_HARDEST}"
    return PencilRank(rank, softer, harder, () if in_set else (note,))


def pencil_compare(first: str, second: str) -> PencilOrder:
    """Tell whether a pencil is softer or harder than another.

    Parameters: first, second [one of `pencil_grades()`].
    Returns: what the first is beside the second, and the grades between them.
    Raises: OutOfRange for another word.
    Source: ISO 15184, order of the grades.

    >>> pencil_compare("HB", "F")
    PencilOrder(first_is='softer', grades=1)
    """
    apart = _rank(first, "first") - _rank(second, "second")
    return PencilOrder(_SAME if not apart else _HARDER if apart > 0 else _SOFTER, abs(apart))


def pencil_hardness(strokes: Sequence[PencilStroke]) -> PencilHardness:
    """Read the hardness of a film off the pencils that were drawn over it.

    Parameters: strokes [list of `PencilStroke`; at 45 degrees, by ISO with 7.5 N].
    Returns: the hardest grade that left no mark and is softer than every one that did.
    Raises: OutOfRange for a grade, NotApplicable for an empty list.
    Source: ISO 15184; ASTM D3363 (in part from memory).

    >>> pencil_hardness([PencilStroke("HB", False), PencilStroke("F", True)]).hardness
    'HB'
    """
    count(strokes, 1, name="strokes")
    ranks = [_rank(each.grade, f"strokes/{place}/grade") for place, each in enumerate(strokes)]
    pairs = list(zip(ranks, strokes, strict=True))
    grades = pencil_grades()
    marking = min((rank for rank, each in pairs if each.marked), default=len(grades))
    clean = {rank for rank, each in pairs if not each.marked}
    hardest = max((rank for rank in clean if rank < marking), default=None)
    notes = [_ON_WOOD]
    if any(rank >= marking for rank in clean):
        notes.append("a pencil as hard or harder left no mark: repeat the test")
    if marking == len(grades):
        notes.append("no pencil marked it: go on to harder ones")
    elif hardest is None:
        notes.append("every pencil marked it: go on to softer ones")
    elif marking - hardest > 1:
        notes.append("grades between were not tried")
    marked_by = grades[marking] if marking < len(grades) else None
    return PencilHardness(None if hardest is None else grades[hardest], marked_by, tuple(notes))


def _rank(grade: str, name: str) -> int:
    return pencil_grades().index(one_of(grade, pencil_grades(), name=name))
