"""The VOC content of liquids put together, and how much thinner a limit allows."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable
from service.science.ranges import above, count, one_of, positive, within
from service.science.results import Standing

_HIGHEST_G_L = 2000
_READY_TO_USE = "ready to use"
_OF_MATERIAL = "of material"
_LESS_WATER_EXEMPT = "less water and exempt"
_VOLUMES_ADD = "volumes are taken to add up, which mixtures do only nearly"
_STAY_BELOW = "stay well below the limit: a sample in the dish may show more than the sum does"


class MeasuredOut(NamedTuple):
    """A liquid measured out by volume.

    Fields: volume_l [l, above 0]; content_g_l [g/l, 0-2000; its VOC content].
    """

    volume_l: Decimal
    content_g_l: Decimal


class MixedContent(NamedTuple):
    """The VOC content of liquids put together, in the definition of the figures sent."""

    content_g_l: Decimal
    definition: str
    voc_g: Decimal
    volume_l: Decimal
    standing: Standing
    why: str


class ThinnerToLimit(NamedTuple):
    """How much thinner brings a coating to a limit: at most so much, or at least so much."""

    thinner_l: Decimal
    at_most: bool
    total_l: Decimal
    definition: str
    standing: Standing
    why: str
    notes: tuple[str, ...]


def definitions() -> tuple[str, ...]:
    """List the definitions of VOC content per volume of coating.

    Parameters: none. Raises: nothing.
    Source: Directive 2004/42/EC Art. 2; 40 CFR 59.104(a)(1); EPA Method 24 practice.

    >>> definitions()
    ('ready to use', 'of material', 'less water and exempt')
    """
    return (_READY_TO_USE, _OF_MATERIAL, _LESS_WATER_EXEMPT)


def voc_of_mixture(liquids: Sequence[MeasuredOut], definition: str) -> MixedContent:
    """Work out the VOC content of liquids put together by volume.

    Parameters: liquids [list of `MeasuredOut`; two or more, where the content is less water and
    exempt compounds their volume without these]; definition [one of `definitions()`], the one
    of every content sent.
    Returns: the content in that definition, the mass of VOC and the volume.
    Raises: NotApplicable for fewer than two, OutOfRange for one of them.
    Source: mass balance over added volumes.

    >>> voc_of_mixture([MeasuredOut(Decimal(1), Decimal(300)), MeasuredOut(Decimal(1),
    ...                Decimal(800))], "of material").content_g_l
    Decimal('550')
    """
    one_of(definition, definitions(), name="definition")
    count(liquids, 2, name="liquids")
    mass = volume = Decimal(0)
    for place, each in enumerate(liquids):
        at = f"liquids/{place}"
        litres = positive(each.volume_l, f"{at}/volume_l")
        mass += litres * within(each.content_g_l, 0, high=_HIGHEST_G_L, name=f"{at}/content_g_l")
        volume += litres
    return MixedContent(mass / volume, definition, mass, volume, Standing.APPROXIMATE, _VOLUMES_ADD)


def thinner_to_voc_limit(
    coating_l: Decimal,
    coating_content_g_l: Decimal,
    *,
    thinner_content_g_l: Decimal,
    limit_g_l: Decimal,
    definition: str,
) -> ThinnerToLimit:
    """Work out how much thinner brings a coating to a limit of VOC content.

    Parameters: coating_l [l, above 0; where the content is less water and exempt compounds its
    volume without these]; coating_content_g_l [g/l, 0-2000; its VOC content];
    thinner_content_g_l [g/l, 0-2000; the VOC content of the thinner, for a pure solvent its
    density]; limit_g_l [g/l, above 0 up to 2000]; definition [one of `definitions()`], the one
    of every content sent.
    Returns: the volume of thinner, and whether it is the most that may or the least that must be
    added.
    Raises: NotApplicable where any amount stays within the limit or none comes down to it, and
    for a thinner without VOC against a limit less water and exempt compounds, which it does not
    change; OutOfRange for any of them.
    Source: mass balance over added volumes, y = (L V - m) / (c - L).

    >>> round(thinner_to_voc_limit(Decimal(5), Decimal(381), thinner_content_g_l=Decimal(767),
    ...       limit_g_l=Decimal(420), definition="of material").thinner_l, 2)
    Decimal('0.56')
    """
    one_of(definition, definitions(), name="definition")
    volume = positive(coating_l, "coating_l")
    now = within(coating_content_g_l, 0, high=_HIGHEST_G_L, name="coating_content_g_l")
    thinner = within(thinner_content_g_l, 0, high=_HIGHEST_G_L, name="thinner_content_g_l")
    limit = above(limit_g_l, 0, high=_HIGHEST_G_L, name="limit_g_l")
    if definition == _LESS_WATER_EXEMPT and not thinner:
        raise _no_answer("water and exempt compounds do not change a content less them")
    if now <= limit and thinner <= limit:
        raise _no_answer("any amount of this thinner stays within the limit")
    if now > limit and thinner >= limit:
        raise _no_answer("no amount of this thinner comes down to the limit")
    add = volume * (limit - now) / (thinner - limit)
    return ThinnerToLimit(
        add,
        thinner > limit,
        volume + add,
        definition,
        Standing.APPROXIMATE,
        _VOLUMES_ADD,
        (_STAY_BELOW,),
    )


def _no_answer(message: str) -> NotApplicable:
    return NotApplicable(
        message, "choose another thinner or another limit", field="thinner_content_g_l"
    )
