"""How large the net contents stand on the label, US by its panel and EU by its quantity."""

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from service.science.errors import NotApplicable
from service.science.net_contents import LARGEST_IN_TABLE, LOCAL_LAW, SMALLEST_IN_TABLE
from service.science.ranges import one_of, positive
from service.science.rounding import decimal_of
from service.science.tables import rows

_CURVED_SHARE = Decimal("0.40")
_MOULDED_EXTRA_IN = Fraction(1, 16)
_BOTTOM_FROM_IN2 = 5
_E_MARK_MM = Decimal(3)
_MM_PER_IN = Fraction("25.4")
_SHAPES = {
    "flat side": ("height_in", "width_in"),
    "cylinder": ("height_in", "circumference_in"),
    "other": ("surface_in2",),
}
_WITHOUT = "tops, bottoms, shoulders and necks do not count"
_BOTTOM = "the declaration stands in the bottom 30 % of the panel, parallel to the base"


class TypeHeight(NamedTuple):
    """The least height of the type of a US declaration."""

    height_in: Decimal
    height_mm: Decimal
    fraction: str
    notes: tuple[str, ...]


class DisplayPanel(NamedTuple):
    """The area of a principal display panel, and the least height of the type on it."""

    area_in2: Decimal
    height_in: Decimal
    height_mm: Decimal
    fraction: str
    notes: tuple[str, ...]


class FigureHeight(NamedTuple):
    """The least height of the figures of an EU nominal quantity, and of the e mark if borne."""

    height_mm: Decimal
    e_mark_height_mm: Decimal | None
    notes: tuple[str, ...]


def us_type_height(area_in2: Decimal, *, moulded: bool = False) -> TypeHeight:
    """Look the least height of the type of a US net contents declaration up.

    Parameters: area_in2 [in2, above 0; of the principal display panel]; moulded [yes or no; blown
    or moulded into the container, which needs 1/16 in more].
    Returns: the height in inches, in mm and as a fraction of an inch.
    Raises: OutOfRange for the area.
    Source: 16 CFR 500.21(b) (first row read, the others from memory).

    >>> us_type_height(Decimal("7.5")).fraction
    '1/8 in'
    """
    return _type_height(positive(area_in2, "area_in2"), moulded=moulded)


def _type_height(area_in2: Decimal, *, moulded: bool) -> TypeHeight:
    table = rows("us_type_heights.csv")
    row = next(r for r in table if not r["up_to_in2"] or area_in2 <= Decimal(r["up_to_in2"]))
    height = Fraction(row["height_in"]) + (_MOULDED_EXTRA_IN if moulded else 0)
    place = (_BOTTOM,) if area_in2 > _BOTTOM_FROM_IN2 else ()
    return TypeHeight(
        decimal_of(height), decimal_of(height * _MM_PER_IN), f"{height} in", (*place, LOCAL_LAW)
    )


def panel_shapes() -> tuple[str, ...]:
    """List the shapes of a pack that the area of its panel depends on.

    Parameters: none. Raises: nothing. Returns: the shapes. Source: 16 CFR 500.21(a).

    >>> panel_shapes()
    ('flat side', 'cylinder', 'other')
    """
    return tuple(_SHAPES)


def us_display_panel(
    shape: str,
    height_in: Decimal | None = None,
    *,
    width_in: Decimal | None = None,
    circumference_in: Decimal | None = None,
    surface_in2: Decimal | None = None,
    moulded: bool = False,
) -> DisplayPanel:
    """Work out the area of a US principal display panel and the least type on it.

    Parameters: shape [one of `panel_shapes()`]; height_in [in, above 0; of the side, None for
    other shapes]; width_in [in, above 0; of a flat side, else None]; circumference_in [in, above
    0; of a cylinder, 3.1416 times the diameter, else None]; surface_in2 [in2, above 0; the whole
    surface of another shape, else None]; moulded [yes or no; blown or moulded into the container].
    Returns: height times width, or 40 % of height times circumference, or 40 % of the surface;
    with the height of the type in inches, in mm and as a fraction.
    Raises: NotApplicable for a measure that the shape lacks or has no use for, OutOfRange for one.
    Source: 16 CFR 500.21(a), and (b) (first row read, the others from memory).

    >>> us_display_panel("cylinder", Decimal(4), circumference_in=Decimal(9)).area_in2
    Decimal('14.40')
    """
    one_of(shape, panel_shapes(), name="shape")
    sent = {
        "height_in": height_in,
        "width_in": width_in,
        "circumference_in": circumference_in,
        "surface_in2": surface_in2,
    }
    area = Decimal(1) if shape == "flat side" else _CURVED_SHARE
    for measure in _measures(shape, sent):
        area *= measure
    found = _type_height(area, moulded=moulded)
    notes = (_WITHOUT, *found.notes)
    return DisplayPanel(area, found.height_in, found.height_mm, found.fraction, notes)


def _measures(shape: str, sent: dict[str, Decimal | None]) -> list[Decimal]:
    """The measures that the shape has, each sent and above zero, and no other."""
    given = {name: positive(value, name) for name, value in sent.items() if value is not None}
    for name in _SHAPES[shape]:
        if name not in given:
            whose = "other shape" if shape == "other" else shape
            raise NotApplicable(
                f"the {whose}'s {_said(name)} was not sent", f"send {name}", field=name
            )
    for name in given:
        if name not in _SHAPES[shape]:
            raise NotApplicable(
                f"the {_said(name)} says nothing of the {shape}", "leave it out", field=name
            )
    return list(given.values())


def _said(name: str) -> str:
    return name.rpartition("_")[0]


def eu_figure_height(nominal: Decimal, *, e_mark: bool = False) -> FigureHeight:
    """Look the least height of the figures of an EU nominal quantity up.

    Parameters: nominal [1, above 0; the declared quantity in ml or g]; e_mark [yes or no; the e
    mark is borne, which is a choice].
    Returns: the height of the figures, and of the e mark where it is borne.
    Raises: NotApplicable for an e mark below 5 or above 10000, OutOfRange for the quantity.
    Source: Directive 76/211/EEC Annex I 3.1 (from memory); e mark at least 3 mm, UK SI 2006/659
    regulation 2.

    >>> eu_figure_height(Decimal(250)).height_mm
    Decimal('4')
    """
    positive(nominal, "nominal")
    if e_mark and not SMALLEST_IN_TABLE <= nominal <= LARGEST_IN_TABLE:
        raise NotApplicable(
            f"there is no e mark for {nominal:f}",
            f"it is for {SMALLEST_IN_TABLE} to {LARGEST_IN_TABLE} ml or g",
            field="e_mark",
        )
    table = rows("eu_figure_heights.csv")
    row = next(r for r in table if not r["up_to"] or nominal <= Decimal(r["up_to"]))
    units = "in l, cl, ml, kg or g, the unit behind the figures"
    return FigureHeight(
        Decimal(row["height_mm"]), _E_MARK_MM if e_mark else None, (units, LOCAL_LAW)
    )
