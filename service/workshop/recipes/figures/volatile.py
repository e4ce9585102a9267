"""The content of volatile organic compounds by every definition; none is judged by a limit here."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any, NamedTuple

from service.science import voc
from service.science.errors import ScienceError
from service.science.rounding import decimal_of
from service.workshop.recipes.figures.bulk import NOTHING_EVAPORATES, Liquid, by_table
from service.workshop.recipes.figures.can import Can
from service.workshop.recipes.figures.derived import Derived
from service.workshop.recipes.inside import contents

NAMES = (
    "voc_by_mass",
    "voc_ready_to_use",
    "voc_of_material",
    "voc_less_water_exempt",
    "voc_per_solids",
)
_EUROPEAN = ("voc_by_mass", "voc_ready_to_use")  # exempt compounds count
_UPPER = "so the figure is an upper bound"
_SOURCES = {
    "voc_by_mass": "ISO 11890-1 method 1 (from memory)",
    "voc_ready_to_use": "Directive 2004/42/EC Art. 2; ISO 11890-1 method 2 (from memory)",
    "voc_of_material": "EPA Method 24 practice, actual VOC",
    "voc_less_water_exempt": "40 CFR 59.104(a)(1)",
    "voc_per_solids": "ASTM D3960, VOC per volume of solids (abstract read)",
}
_HOW = {
    "voc_by_mass": "100 - non-volatile - water, in %; exempt compounds count",
    "voc_ready_to_use": "10 x density x (100 - non-volatile - water); exempt compounds count; "
    "all that evaporates is taken to boil at or below 250 °C",
    "voc_of_material": "10 x density x (100 - non-volatile - water - exempt compounds)",
    "voc_less_water_exempt": "VOC over the volume of it less water and exempt compounds",
    "voc_per_solids": "VOC without exempt compounds over the volume of solids",
}


class _Wet(NamedTuple):
    """What every definition goes by, in %."""

    non_volatile: Decimal
    water: Decimal
    exempt: Decimal
    water_said: tuple[str, ...]
    exempt_said: tuple[str, ...]
    inputs: tuple[dict[str, Any], ...]

    def said(self, name: str) -> tuple[str, ...]:
        """What a definition takes for granted."""
        told = self.water_said if name in _EUROPEAN else (*self.water_said, *self.exempt_said)
        unstated = any(contents.UNSTATED in each for each in told)
        return (*told, _UPPER) if unstated and name != "voc_less_water_exempt" else told


def figures(can: Can, liquid: Liquid, into: Derived) -> None:
    """Every definition for which enough is known."""
    if liquid.non_volatile is None:
        for name in NAMES:
            into.lacks(name, liquid.missing)
        return
    wet = _wet(can, liquid)
    _add(can, "voc_by_mass", lambda: _by_mass(wet), wet, into)
    if liquid.density is None:
        for name in NAMES[1:]:
            into.lacks(name, liquid.missing)
        return
    density = liquid.density
    _add(can, "voc_ready_to_use", lambda: _ready_to_use(density, wet), wet, into)
    _add(can, "voc_of_material", lambda: _of_material(density, wet), wet, into)
    _less_water(can, density, wet, into)
    _per_solids(can, liquid, wet, into)


def _wet(can: Can, liquid: Liquid) -> _Wet:
    water, exempt = (held(can.apart.contents) for held in (contents.water, contents.exempt))
    stated = can.known(can.apart.contents, "water", "exempt", "ethanol_strength")
    return _Wet(
        liquid.non_volatile or Decimal(0),
        decimal_of(water.value),
        decimal_of(exempt.value),
        water.said,
        exempt.said,
        (*liquid.inputs, *stated),
    )


def _by_mass(wet: _Wet) -> Decimal:
    return voc.voc_by_mass(wet.non_volatile, wet.water).voc_percent


def _ready_to_use(density: Decimal, wet: _Wet) -> Decimal:
    found = voc.voc_ready_to_use(density, wet.non_volatile, water_percent=wet.water)
    return found.voc_ready_to_use_g_l


def _of_material(density: Decimal, wet: _Wet) -> Decimal:
    return voc.voc_of_material(
        density, wet.non_volatile, water_percent=wet.water, exempt_percent=wet.exempt
    ).voc_of_material_g_l


def _less_water(can: Can, density: Decimal, wet: _Wet, into: Derived) -> None:
    name = "voc_less_water_exempt"
    dense = contents.exempt_density(can.apart.contents)
    if isinstance(dense, list):
        into.lacks(name, dense)
        return

    def work() -> Decimal:
        return voc.voc_less_water_exempt(
            density,
            wet.non_volatile,
            water_percent=wet.water,
            exempt_percent=wet.exempt,
            exempt_density_kg_l=None if dense is None else decimal_of(dense.value),
        ).voc_less_water_exempt_g_l

    _add(can, name, work, wet, into)


def _per_solids(can: Can, liquid: Liquid, wet: _Wet, into: Derived) -> None:
    name = "voc_per_solids"
    density, volume = liquid.density, liquid.volume_solids
    if density is None or volume is None:
        if NOTHING_EVAPORATES in liquid.no_volume_solids or not wet.non_volatile:
            into.without((name,), liquid.no_volume_solids[0])
        else:
            into.lacks(name, liquid.no_volume_solids)
        return

    def work() -> Decimal:
        return voc.voc_per_solids(
            density,
            wet.non_volatile,
            volume_solids_percent_vol=volume,
            water_percent=wet.water,
            exempt_percent=wet.exempt,
        ).voc_per_solids_g_l

    _add(can, name, work, wet, into)


def _add(can: Can, name: str, work: Callable[[], Decimal], wet: _Wet, into: Derived) -> None:
    try:
        value = work()
    except ScienceError as error:  # figures that cannot all be true
        into.lacks(name, [str(error)])
        return
    said = wet.said(name)
    source = "; ".join(filter(None, (_SOURCES[name], by_table(said))))
    unit = "%" if name == "voc_by_mass" else "g/l"
    inputs = [each for each in wet.inputs if unit == "g/l" or each["unit"] != "kg/l"]
    note = can.note(_HOW[name], inputs, said=said, source=source)
    into.figure(name, value, unit=unit, note=(name, note))
