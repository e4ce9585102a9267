"""Legal limits of VOC content as data, and the comparison with them, which is no judgement."""

import functools
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import NotApplicable
from service.science.ranges import count, one_of, positive, within
from service.science.tables import rows
from service.science.voc import voc_ready_to_use

_WITHIN = "within the limit named"
_ABOVE = "above the limit named"
_SMALL = "not applicable (container of one litre or less)"
_APPLIES = "applies to containers of more than one litre"
_HIGHEST_G_L = 2000
_LOW_SOLIDS_G_L = 120
_CHECK = (
    "this compares numbers and judges nothing: a competent person must check it, and national "
    "and local law prevails"
)
_EU_OPEN = (
    "whether the product is in scope: the limits are for coatings of buildings, their trim and "
    "fittings; finishes for instruments and furniture are not decided here (German law counts "
    "furniture as no part of a building)",
    "which subcategory the product belongs to, and whether it is water-borne or solvent-borne",
    "what boils above 250 °C or reacts into the film: it is no VOC there, but counts in this sum",
)
_US_OPEN = (
    "whether the product is an architectural coating, and which category it belongs to",
    "limits of states and districts, which may be lower and reach small containers",
    "the exceptions of 59.402(c) but that for lacquers, the tonnage exemption of 59.404 and the "
    "fee of 59.403",
)
_US_MEMORY = "the values of this table are from memory: confirm them against the current text"


class EuLimit(NamedTuple):
    """A limit of the European Union, and the product it is for."""

    limit_g_l: Decimal
    limit_named: str
    product: str
    not_decided: tuple[str, ...]
    notes: tuple[str, ...]


class EuComparison(NamedTuple):
    """How a product stands to a limit of the European Union."""

    finding: str
    within_limit: bool
    voc_ready_to_use_g_l: Decimal
    limit_g_l: Decimal
    limit_named: str
    not_decided: tuple[str, ...]
    notes: tuple[str, ...]


class UsLimit(NamedTuple):
    """A limit of the United States and whether it applies; none where it does not."""

    limit_g_l: Decimal | None
    finding: str
    limit_named: str
    definition: str
    not_decided: tuple[str, ...]
    notes: tuple[str, ...]


class UsComparison(NamedTuple):
    """How a product stands to a limit of the United States; not at all where none applies."""

    finding: str
    within_limit: bool | None
    compared_g_l: Decimal | None
    limit_g_l: Decimal | None
    limit_named: str
    definition: str
    not_decided: tuple[str, ...]
    notes: tuple[str, ...]


def eu_subcategories() -> tuple[str, ...]:
    """List the subcategories of paints and varnishes of the European Union.

    Parameters: none. Raises: nothing. Source: tables/eu_voc_limits.csv.

    >>> eu_subcategories()[4]
    'e'
    """
    return tuple(dict.fromkeys(row["subcategory"] for row in rows("eu_voc_limits.csv")))


def eu_carriers() -> tuple[str, ...]:
    """List the two types of each subcategory: thinned by water or by solvent.

    Parameters: none. Raises: nothing. Source: tables/eu_voc_limits.csv.

    >>> eu_carriers()
    ('WB', 'SB')
    """
    return tuple(dict.fromkeys(row["carrier"] for row in rows("eu_voc_limits.csv")))


def eu_voc_limit(subcategory: str, carrier: str = "SB", *, phase: int = 2) -> EuLimit:
    """Look up the limit of VOC content of the European Union for a subcategory.

    Parameters: subcategory [one of `eu_subcategories()`]; carrier [one of `eu_carriers()`], WB
    water-borne, SB solvent-borne; phase [1, 1-2; 1 from 2007, 2 from 2010].
    Returns: the limit for the product ready to use, and what the table does not decide.
    Raises: OutOfRange for any other.
    Source: Directive 2004/42/EC Annex II A, read in ChemVOCFarbV Annex II no. 1.

    >>> eu_voc_limit("e").limit_g_l
    Decimal('400')
    """
    one_of(subcategory, eu_subcategories(), name="subcategory")
    one_of(carrier, eu_carriers(), name="carrier")
    within(Decimal(phase), 1, high=2, name="phase")
    row = _eu_rows()[subcategory, carrier]
    return EuLimit(
        Decimal(row[f"phase_{phase}_g_l"]),
        f"2004/42/EC Annex II A, subcategory {subcategory}, {carrier}, phase {phase}",
        row["product"],
        _EU_OPEN,
        (_CHECK,),
    )


def eu_voc_comparison(
    subcategory: str,
    carrier: str = "SB",
    *,
    density_kg_l: Decimal,
    non_volatile_percent: Decimal,
    water_percent: Decimal = Decimal(0),
    phase: int = 2,
) -> EuComparison:
    """Compare the VOC content of a product ready to use with a limit of the European Union.

    Parameters: subcategory [one of `eu_subcategories()`]; carrier [one of `eu_carriers()`], WB
    water-borne, SB solvent-borne; density_kg_l [kg/l, 0.6-2.0; with the thinner that its user is
    told to add]; non_volatile_percent [%, 0-100]; water_percent [%, 0-100]; phase [1, 1-2; 1
    from 2007, 2 from 2010].
    Returns: within or above the limit named, without rounding, and what was not decided.
    Raises: OutOfRange for any of them.
    Source: Directive 2004/42/EC Annex II A, read in ChemVOCFarbV Annex II no. 1; definition read
    in UK SI 2005/2773 reg. 2.

    >>> eu_voc_comparison("e", density_kg_l=Decimal("0.905"),
    ...                   non_volatile_percent=Decimal(52)).finding
    'above the limit named'
    """
    limit = eu_voc_limit(subcategory, carrier, phase=phase)
    content = voc_ready_to_use(density_kg_l, non_volatile_percent, water_percent=water_percent)
    fits = content.voc_ready_to_use_g_l <= limit.limit_g_l
    return EuComparison(
        _WITHIN if fits else _ABOVE,
        fits,
        content.voc_ready_to_use_g_l,
        limit.limit_g_l,
        limit.limit_named,
        limit.not_decided,
        limit.notes,
    )


def us_categories() -> tuple[str, ...]:
    """List the categories of architectural coatings that a maker of varnish may claim.

    Parameters: none. Raises: nothing. Source: tables/us_voc_limits.csv.

    >>> us_categories()[0]
    'varnish'
    """
    return tuple(_us_rows())


def us_voc_limit(categories: Sequence[str], container_l: Decimal) -> UsLimit:
    """Look up the limit of VOC content of the United States for all categories that are claimed.

    Parameters: categories [one of `us_categories()`; each that the can, the label or the
    advertising claims]; container_l [l, above 0; of the can as it is sold].
    Returns: the lowest of their limits, or that of lacquer where the others are for wood and no
    stains; none for a container of one litre or less.
    Raises: NotApplicable without a category, OutOfRange for any other or the container.
    Source: 40 CFR 59.400(c)(5), 59.402 (read); subpart D Table 1 (from memory).

    >>> us_voc_limit(["varnish"], Decimal("3.785")).limit_g_l
    Decimal('450')
    """
    row = _ruling(categories)
    applies = positive(container_l, "container_l") > 1
    return UsLimit(
        Decimal(row["limit_g_l"]) if applies else None,
        _APPLIES if applies else _SMALL,
        f"40 CFR 59 subpart D Table 1, {row['category']}",
        row["definition"],
        _US_OPEN,
        (_US_MEMORY, _CHECK),
    )


def us_voc_comparison(
    categories: Sequence[str],
    container_l: Decimal,
    *,
    voc_less_water_exempt_g_l: Decimal,
    voc_of_material_g_l: Decimal | None = None,
    solid_g_l: Decimal | None = None,
) -> UsComparison:
    """Compare the VOC content of a product with a limit of the United States.

    Parameters: categories [one of `us_categories()`; each that the can, the label or the
    advertising claims]; container_l [l, above 0; of the can as it is sold];
    voc_less_water_exempt_g_l [g/l, 0-2000; thinned as far as its user is told at most];
    voc_of_material_g_l [g/l, 0-2000], None if it is not low in solids; solid_g_l [g/l, 0-2000;
    solid matter in a litre], None if it is not low in solids.
    Returns: within or above the limit named, without rounding, or not applicable; and what was
    not decided.
    Raises: NotApplicable without a category, or for a category of low solids without the figures
    it needs or with more than 120 g/l of solids; OutOfRange for any of them.
    Source: 40 CFR 59.400(c)(5), 59.402 (read); subpart D Table 1 and low solids of 59.401 (from
    memory).

    >>> us_voc_comparison(["varnish"], Decimal("0.5"),
    ...                   voc_less_water_exempt_g_l=Decimal(600)).finding
    'not applicable (container of one litre or less)'
    """
    limit = us_voc_limit(categories, container_l)
    compared = within(
        voc_less_water_exempt_g_l, 0, high=_HIGHEST_G_L, name="voc_less_water_exempt_g_l"
    )
    material = _optional(voc_of_material_g_l, "voc_of_material_g_l")
    solid = _optional(solid_g_l, "solid_g_l")
    if limit.limit_g_l is not None and limit.definition == "of material":
        compared = _low_solids_content(material, solid)
    fits = None if limit.limit_g_l is None else compared <= limit.limit_g_l
    finding = {None: limit.finding, True: _WITHIN, False: _ABOVE}[fits]
    return UsComparison(
        finding,
        fits,
        None if fits is None else compared,
        limit.limit_g_l,
        limit.limit_named,
        limit.definition,
        limit.not_decided,
        limit.notes,
    )


def _ruling(categories: Sequence[str]) -> dict[str, str]:
    """The row whose limit rules where several categories are claimed."""
    count(categories, 1, name="categories")
    claimed = [
        _us_rows()[one_of(each, us_categories(), name=f"categories/{place}")]
        for place, each in enumerate(categories)
    ]
    others = [row for row in claimed if row["category"] != "lacquer"]
    for_wood = all(row["wood"] == "yes" and row["stain"] == "no" for row in others)
    if for_wood and len(others) < len(claimed):
        return _us_rows()["lacquer"]
    return min(claimed, key=lambda row: Decimal(row["limit_g_l"]))


def _low_solids_content(material: Decimal | None, solid: Decimal | None) -> Decimal:
    if material is None or solid is None:
        raise NotApplicable(
            "a category of low solids is compared by its content of material",
            "send the VOC of material and the solid matter in a litre",
            field="voc_of_material_g_l" if material is None else "solid_g_l",
        )
    if solid > _LOW_SOLIDS_G_L:
        raise NotApplicable(
            f"{solid:.4g} g/l of solids is not low in solids",
            f"claim another category: low is {_LOW_SOLIDS_G_L} g/l or less",
            field="solid_g_l",
        )
    return material


def _optional(value: Decimal | None, name: str) -> Decimal | None:
    return None if value is None else within(value, 0, high=_HIGHEST_G_L, name=name)


@functools.cache
def _eu_rows() -> dict[tuple[str, str], dict[str, str]]:
    return {(row["subcategory"], row["carrier"]): row for row in rows("eu_voc_limits.csv")}


@functools.cache
def _us_rows() -> dict[str, dict[str, str]]:
    return {row["category"]: row for row in rows("us_voc_limits.csv")}
