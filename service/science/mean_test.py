"""The mean test of Directive 76/211/EEC for batches of 100 packs or more, by a sample."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable
from service.science.net_contents import (
    LARGEST_IN_TABLE,
    LOCAL_LAW,
    SAMPLED_FROM_PACKS,
    SMALLEST_IN_TABLE,
    below_limits,
    mean_of_fills,
    negative_error,
)
from service.science.ranges import at_least, count, within
from service.science.statistics import standard_deviation
from service.science.student import student_quantile

_CONFIDENCE = Decimal("0.995")
_LARGEST_BATCH = 10_000
_SMALL_BATCH = 500
_SAMPLE_OF_SMALL_BATCH = 30
_SAMPLE_OF_LARGE_BATCH = 50
_DESTRUCTIVE_SAMPLE = 20


class MeanTest(NamedTuple):
    """Whether the mean of a sample is high enough, and the figures behind it."""

    mean_holds: bool
    mean: Decimal
    least_mean: Decimal
    standard_deviation: Decimal
    quantile: Decimal
    factor: Decimal
    sample: int
    sample_of_the_directive: int
    below_first: int
    below_second: int
    notes: tuple[str, ...]


def mean_test(
    nominal: Decimal, fills: Sequence[Decimal], *, packs: int, destructive: bool = False
) -> MeanTest:
    """Judge the mean of a batch of 100 packs or more by a sample of it.

    Parameters: nominal [1, 5-10000; the declared quantity in ml or g]; fills [1, each above 0;
    what is in each pack of the sample, in the same unit]; packs [1, 100 or more; the whole batch];
    destructive [yes or no; packs were opened, the sample is then 20].
    Returns: whether the mean is at least the nominal less s t(0.995, n - 1) / root of n, with t,
    the factor of s, and the packs of the sample below the limits.
    Raises: NotApplicable for fewer fills than the directive draws, or more than packs; OutOfRange
    for a number.
    Source: Directive 76/211/EEC Annex II 2.3; factors 0.503, 0.379 and 0.640 in UK SI 2006/659
    Schedule 2 paragraph 4.

    >>> sample = [Decimal("249.2"), Decimal("250.6")] * 15
    >>> mean_test(Decimal(250), sample, packs=300).factor.quantize(Decimal("0.001"))
    Decimal('0.503')
    """
    within(nominal, SMALLEST_IN_TABLE, high=LARGEST_IN_TABLE, name="nominal")
    at_least(Decimal(packs), SAMPLED_FROM_PACKS, name="packs")
    sample = _sample(fills, packs)
    average, spread = mean_of_fills(fills), standard_deviation(fills)
    quantile = student_quantile(_CONFIDENCE, sample - 1)
    factor = quantile / Decimal(sample).sqrt()
    least = nominal - spread * factor
    wanted = _sample_of_the_directive(packs, destructive)
    if sample < wanted:
        raise NotApplicable(
            f"a sample of {sample} packs, where the directive draws {wanted}",
            f"send the fills of {wanted} packs",
            field="fills",
        )
    error = negative_error(nominal)
    below_first, below_second = below_limits(error, fills)
    return MeanTest(
        mean_holds=average >= least,
        mean=average,
        least_mean=least,
        standard_deviation=spread,
        quantile=quantile,
        factor=factor,
        sample=sample,
        sample_of_the_directive=wanted,
        below_first=below_first,
        below_second=below_second,
        notes=tuple(_notes(sample, wanted, packs=packs, below_second=below_second)),
    )


def _sample(fills: Sequence[Decimal], packs: int) -> int:
    sample = count(fills, 2, name="fills")
    if sample > packs:
        raise NotApplicable(
            f"a sample of {sample} out of {packs} packs",
            "send one fill for each pack of the sample",
            field="fills",
        )
    return sample


def _sample_of_the_directive(packs: int, destructive: bool) -> int:
    if destructive:
        return _DESTRUCTIVE_SAMPLE
    return _SAMPLE_OF_SMALL_BATCH if packs <= _SMALL_BATCH else _SAMPLE_OF_LARGE_BATCH


def _notes(sample: int, wanted: int, *, packs: int, below_second: int) -> list[str]:
    notes = ["single packs are judged besides, by the sampling plan of Annex II 2.2"]
    if below_second:
        notes.append(f"{below_second} of them lie below the second limit, where none may be")
    if sample != wanted:
        notes.append(f"the directive draws {wanted} packs, and this sample has {sample}")
    if packs > _LARGEST_BATCH:
        notes.append(f"a batch is at most {_LARGEST_BATCH} packs, unless checked at the line")
    return [*notes, LOCAL_LAW]
