"""What follows from two versions: figures, losses and components side by side."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.science.rounding import decimal_of, plain, round_significant
from service.web.fields import Amount, Figure
from service.web.footnotes import Footnotes
from service.workshop.recipes.bodies import VersionOut
from service.workshop.release.comparisons.bodies import (
    ComparedComponent,
    ComparedFigure,
    ComparedLoss,
    StandsOut,
)

_DIGITS = 3


def difference(left: Amount | None, right: Amount | None) -> Amount | None:
    """Right less left, where both are numbers in the same unit."""
    if left is None or right is None or left.unit != right.unit:
        return None
    sizes = [_number(side.value) for side in (left, right)]
    if None in sizes:
        return None
    before, after = (size or Decimal(0) for size in sizes)
    return Amount(value=plain(after - before), unit=left.unit)


def _number(value: str) -> Decimal | None:
    """The number that a figure is; None for one that is words or a ratio."""
    sign, digits = value[:1], value.lstrip("-")
    bare = digits.replace(".", "", 1)
    if not (bare.isascii() and bare.isdigit()):
        return None
    return -Decimal(digits) if sign == "-" else Decimal(digits)


def _relative(left: Amount | None, apart: Amount | None) -> Amount | None:
    """A difference in percent of the left value; None where that is 0."""
    size = None if left is None or apart is None else _number(left.value)
    if not size or apart is None:
        return None
    share = 100 * Fraction(apart.value) / abs(Fraction(size))
    return Amount(value=plain(round_significant(decimal_of(share), _DIGITS)), unit="%")


def figures(left: VersionOut, right: VersionOut, notes: Footnotes) -> list[ComparedFigure]:
    """Every figure that either side has, could have or cannot have."""
    labels = {**_labels(right), **_labels(left)}
    return [
        _figure(name, label, _stands(left, name, notes), right=_stands(right, name, notes))
        for name, label in labels.items()
    ]


def _labels(version: VersionOut) -> dict[str, str]:
    known = {one.name: one.label for one in version.figures}
    lacking = {one.name: one.label for one in version.undecided}
    return {**known, **lacking, **{one.name: one.label for one in version.not_applicable}}


def _stands(version: VersionOut, name: str, notes: Footnotes) -> StandsOut:
    found = next((one for one in version.figures if one.name == name), None)
    lacking = (one.missing for one in version.undecided if one.name == name)
    reasons = (one.reason for one in version.not_applicable if one.name == name)
    return StandsOut(
        figure=None if found is None else _noted(found, version.notes, notes),
        undecided=next(lacking, []),
        not_applicable=next(reasons, None),
    )


def _noted(found: Figure, own: Mapping[str, dict[str, Any]], notes: Footnotes) -> Figure:
    """The same figure, its footnote among those of both sides."""
    mark = None if found.note is None else notes.add(found.note, own[found.note])
    return Figure(value=found.value, unit=found.unit, basis=found.basis, note=mark)


def _figure(name: str, label: str, left: StandsOut, *, right: StandsOut) -> ComparedFigure:
    apart = difference(left.figure, right.figure)
    return ComparedFigure(
        name=name,
        label=label,
        left=left,
        right=right,
        difference=apart,
        relative=_relative(left.figure, apart),
    )


def losses(left: VersionOut, right: VersionOut) -> list[ComparedLoss]:
    """By stage and cause, those of the left in their order first."""
    before, after = (_merged(version) for version in (left, right))
    return [
        ComparedLoss(
            stage=stage,
            cause=cause,
            left=before.get((stage, cause)),
            right=after.get((stage, cause)),
            difference=difference(before.get((stage, cause)), after.get((stage, cause))),
        )
        for stage, cause in {**before, **after}
    ]


def _merged(version: VersionOut) -> dict[tuple[str, str], Amount]:
    """What leaves a stage for one cause, taken together."""
    found: dict[tuple[str, str], Amount] = {}
    for one in version.losses:
        place = (one.stage, one.cause)
        found[place] = _together(found.get(place), one.share)
    return found


def _together(held: Amount | None, more: Amount) -> Amount:
    if held is None:
        return more
    return Amount(value=plain(Decimal(held.value) + Decimal(more.value)), unit=more.unit)


def composition(left: VersionOut, right: VersionOut) -> list[ComparedComponent]:
    """By component, the largest share on either side first."""
    sides = [{one.component: one for one in each.composition} for each in (left, right)]
    # A side that could not be worked through says nothing of what is not in it.
    nothing = [Amount(value="0", unit="%") if side else None for side in sides]
    found = []
    for code, one in {**sides[1], **sides[0]}.items():
        shares = [side[code].share if code in side else None for side in sides]
        counted = (share or none for share, none in zip(shares, nothing, strict=True))
        found.append(
            ComparedComponent(
                component=code,
                name=one.name,
                family=one.family,
                left=shares[0],
                right=shares[1],
                difference=difference(*counted),
            )
        )
    return sorted(found, key=lambda each: -_largest((each.left, each.right)))


def _largest(shares: Iterable[Amount | None]) -> Decimal:
    return max(Decimal(share.value) for share in shares if share is not None)
