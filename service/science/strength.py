"""Strength of spirit: density, % by volume, % by mass, proof, and thinning with water.

The density of a mixture of ethanol and water is the general formula of OIML R 22. At one
temperature it is a polynomial in the mass fraction, which falls all the way, so that every
question backwards is answered by halving the interval.
"""

import functools
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.ranges import above, positive, within
from service.science.rounding import from_float, round_half_even
from service.science.tables import rows

_FAHRENHEIT_60 = 140 / 9  # 60 °F in °C
_PROOF_STEP = Decimal("0.1")
_HALVINGS = 45  # to 3e-14; the twelfth decimal is kept
_WEAKEST_FOR_SHELLAC = 85
_LAST_DIGIT = 0.0005  # kg/m3: the limits named in a refusal must themselves be taken


class ByMass(NamedTuple):
    """A strength as a share of the mass, with the density and the ethanol in a litre at 20 °C."""

    ethanol_percent: Decimal
    density_20_kg_l: Decimal
    ethanol_g_l: Decimal


class ByVolume(NamedTuple):
    """A strength as a share of the volume at 20 °C, with the density there."""

    ethanol_percent_vol: Decimal
    density_20_kg_l: Decimal


class MeasuredStrength(NamedTuple):
    """What a density at a temperature says of the strength."""

    ethanol_percent_vol: Decimal
    ethanol_percent: Decimal
    density_20_kg_l: Decimal
    strength_proof: Decimal
    notes: tuple[str, ...]


class Proof(NamedTuple):
    """US proof to the nearest 0.1, as twice the share of the volume at 60 °F."""

    strength_proof: Decimal
    at_60_f_percent_vol: Decimal


class ProofStrength(NamedTuple):
    """What a proof means: parts of alcohol and of water in 100 by volume at 60 °F, and shares."""

    at_60_f_percent_vol: Decimal
    alcohol_parts: Decimal
    water_parts: Decimal
    ethanol_percent: Decimal
    at_20_c_percent_vol: Decimal
    specific_gravity_60_f: Decimal


class ProofReduction(NamedTuple):
    """The water that brings a spirit down to a proof, and what it makes, at 60 °F."""

    water_us_gal: Decimal
    reduced_us_gal: Decimal
    contraction_us_gal: Decimal


class Dilution(NamedTuple):
    """What to take of the stock and of water, by weight or by measure at 20 °C."""

    stock_ml: Decimal
    stock_g: Decimal
    water_g: Decimal
    water_ml: Decimal
    contraction_ml: Decimal
    notes: tuple[str, ...]


def ethanol_density(ethanol_percent: Decimal, temperature_c: Decimal) -> Decimal:
    """Give the density of a liquid mixture of ethanol and water.

    Parameters: ethanol_percent [%, 0-100; by mass]; temperature_c [°C, -20 to 40].
    Returns: [kg/l] the density.
    Raises: OutOfRange for either.
    Source: OIML R 22 (1975), general formula.

    >>> round(ethanol_density(Decimal(50), Decimal(20)), 7)
    Decimal('0.9137706')
    """
    within(ethanol_percent, 0, high=100, name="ethanol_percent")
    within(temperature_c, -20, high=40, name="temperature_c")
    return from_float(_density(float(ethanol_percent) / 100, float(temperature_c)) / 1000)


def ethanol_by_mass(ethanol_percent_vol: Decimal) -> ByMass:
    """Turn a strength by volume at 20 °C into one by mass.

    Parameters: ethanol_percent_vol [% v/v, 0-100; at 20 °C].
    Returns: the share of the mass, the density, and the ethanol in a litre.
    Raises: OutOfRange outside 0 to 100.
    Source: OIML R 22 (1975), general formula and definition of strength by volume.

    >>> round(ethanol_by_mass(Decimal(96)).ethanol_percent, 3)
    Decimal('93.838')
    """
    within(ethanol_percent_vol, 0, high=100, name="ethanol_percent_vol")
    mass = _fraction_at(20, float(ethanol_percent_vol) / 100)
    density = _density(mass, 20)
    return ByMass(from_float(100 * mass), from_float(density / 1000), from_float(mass * density))


def ethanol_by_volume(ethanol_percent: Decimal) -> ByVolume:
    """Turn a strength by mass into one by volume at 20 °C.

    Parameters: ethanol_percent [%, 0-100; by mass].
    Returns: the share of the volume, and the density. Raises: OutOfRange outside 0 to 100.
    Source: OIML R 22 (1975), general formula and definition of strength by volume.

    >>> round(ethanol_by_volume(Decimal("93.83854")).ethanol_percent_vol, 3)
    Decimal('96.000')
    """
    within(ethanol_percent, 0, high=100, name="ethanol_percent")
    mass = float(ethanol_percent) / 100
    volume = from_float(100 * _by_volume(mass, 20))
    return ByVolume(volume, from_float(_density(mass, 20) / 1000))


def strength_from_density(density_kg_l: Decimal, temperature_c: Decimal) -> MeasuredStrength:
    """Find the strength of a spirit from its density, as a hydrometer gives it.

    Parameters: density_kg_l [kg/l, above 0; that of ethanol and water only, 0.772-1.0];
    temperature_c [°C, 0-40; of the spirit when read].
    Returns: the strength by volume at 20 °C, by mass, the density at 20 °C and the US proof.
    Raises: OutOfRange for the temperature, or a density no such mixture has there.
    Source: OIML R 22 (1975), general formula solved for the mass fraction; 27 CFR 30.11 for proof.

    >>> round(strength_from_density(Decimal("0.8067813"), Decimal(25)).ethanol_percent, 2)
    Decimal('92.50')
    """
    positive(density_kg_l, "density_kg_l")
    warmth = float(within(temperature_c, 0, high=40, name="temperature_c"))
    lightest, heaviest = _density(1, warmth), _density(0, warmth)
    wanted = float(density_kg_l) * 1000
    if not lightest - _LAST_DIGIT <= wanted <= heaviest + _LAST_DIGIT:
        raise OutOfRange(
            f"no ethanol and water at {temperature_c:f} °C has {density_kg_l:f} kg/l",
            f"send a density from {lightest / 1000:.6f} to {heaviest / 1000:.6f}",
            field="density_kg_l",
        )
    mass = _solved(lambda share: -_density(share, warmth), -wanted)
    volume = from_float(100 * _by_volume(mass, 20))
    return MeasuredStrength(
        volume,
        from_float(100 * mass),
        from_float(_density(mass, 20) / 1000),
        _proof_of(mass),
        tuple(_reading_notes(volume, warmth)),
    )


def proof_of(ethanol_percent_vol: Decimal) -> Proof:
    """Give the US proof of a strength by volume at 20 °C.

    Parameters: ethanol_percent_vol [% v/v, 0-100; at 20 °C].
    Returns: the proof to 0.1, and the share of the volume at 60 °F that it is twice of.
    Raises: OutOfRange outside 0 to 100.
    Source: 27 CFR 30.11 (proof: twice the % by volume at 60 °F) and OIML R 22 (1975).

    >>> found = proof_of(Decimal(40))
    >>> found.strength_proof, round(found.at_60_f_percent_vol, 2)
    (Decimal('79.9'), Decimal('39.93'))
    """
    within(ethanol_percent_vol, 0, high=100, name="ethanol_percent_vol")
    mass = _fraction_at(20, float(ethanol_percent_vol) / 100)
    volume = from_float(100 * _by_volume(mass, _FAHRENHEIT_60))
    return Proof(_proof_of(mass), volume)


def proof_strength(strength_proof: Decimal) -> ProofStrength:
    """Say what a US proof means: parts of alcohol and water, and the strength in % at 20 °C.

    Parameters: strength_proof [US proof, 0-200].
    Returns: strengths by volume and by mass, parts by volume at 60 °F, specific gravity 60/60 °F.
    Raises: OutOfRange outside 0 to 200.
    Source: 27 CFR 30.11 and the arithmetic of its Table 6, with the densities of OIML R 22 (1975).

    >>> found = proof_strength(Decimal(191))
    >>> found.alcohol_parts, round(found.water_parts, 2)
    (Decimal('95.5'), Decimal('5.59'))
    """
    mass = _mass_of_proof(within(strength_proof, 0, high=200, name="strength_proof"))
    alcohol = strength_proof / 2
    return ProofStrength(
        alcohol,
        alcohol,
        from_float(_water_parts(mass)),
        from_float(100 * mass),
        from_float(100 * _by_volume(mass, 20)),
        from_float(_density(mass, _FAHRENHEIT_60) / _density(0, _FAHRENHEIT_60)),
    )


def proof_reduction(
    strength_proof: Decimal, target_proof: Decimal, *, volume_us_gal: Decimal
) -> ProofReduction:
    """Find the water that brings a spirit from one US proof down to another.

    Parameters: strength_proof [US proof, above 0 up to 200; of the spirit]; target_proof
    [US proof, above 0; up to that of the spirit]; volume_us_gal [US gal, above 0; of the spirit,
    at 60 °F].
    Returns: the water, what it makes, and how much less that is than the two together.
    Raises: OutOfRange for any of them, or a target above the spirit.
    Source: 27 CFR 30.66, its arithmetic without cutting figures off: from 191 to 188 proof its
    example prints 1.84 gal to 100, since it cuts 1.0160 to 1.01.

    >>> found = proof_reduction(Decimal(191), Decimal(188), volume_us_gal=Decimal(100))
    >>> round(found.water_us_gal, 2)
    Decimal('1.88')
    """
    above(strength_proof, 0, high=200, name="strength_proof")
    _weaker(target_proof, strength_proof, "target_proof")
    positive(volume_us_gal, "volume_us_gal")
    there, here = _mass_of_proof(target_proof), _mass_of_proof(strength_proof)
    needed = float(strength_proof / target_proof) * _water_parts(there)
    water = volume_us_gal * from_float(max(needed - _water_parts(here), 0.0)) / 100
    reduced = volume_us_gal * strength_proof / target_proof
    return ProofReduction(water, reduced, volume_us_gal + water - reduced)


def dilution(
    stock_percent_vol: Decimal, target_percent_vol: Decimal, *, volume_ml: Decimal
) -> Dilution:
    """Find the spirit and the water that make a volume of weaker spirit at 20 °C.

    Parameters: stock_percent_vol [% v/v, above 0 up to 100; at 20 °C]; target_percent_vol
    [% v/v, above 0; up to that of the stock]; volume_ml [ml, above 0; wanted, at 20 °C].
    Returns: the stock and the water by weight and by measure, and how much the two shrink.
    Raises: OutOfRange for any of them, or a target above the stock.
    Source: masses of ethanol and water kept, with the densities of OIML R 22 (1975).

    >>> found = dilution(Decimal(96), Decimal(70), volume_ml=Decimal(1000))
    >>> round(found.stock_ml, 1), round(found.water_g, 1), round(found.contraction_ml, 1)
    (Decimal('729.2'), Decimal('296.8'), Decimal('26.5'))
    """
    above(stock_percent_vol, 0, high=100, name="stock_percent_vol")
    _weaker(target_percent_vol, stock_percent_vol, "target_percent_vol")
    positive(volume_ml, "volume_ml")
    stock_ml = volume_ml * target_percent_vol / stock_percent_vol
    stock_g = stock_ml * ethanol_by_mass(stock_percent_vol).density_20_kg_l
    made_g = volume_ml * ethanol_by_mass(target_percent_vol).density_20_kg_l
    water_g = made_g - stock_g
    water_ml = water_g / from_float(_density(0, 20) / 1000)
    note = "weigh both: spirit and water shrink on mixing, so two volumes do not add up"
    contraction = stock_ml + water_ml - volume_ml
    return Dilution(stock_ml, stock_g, water_g, water_ml, contraction, (note,))


def _weaker(target: Decimal, stock: Decimal, name: str) -> None:
    if positive(target, name) > stock:
        raise OutOfRange(
            f"{target:f} is stronger than the {stock:f} it is made from",
            f"send a strength above 0 and up to {stock:f}",
            field=name,
        )


def _reading_notes(percent_vol: Decimal, warmth: float) -> list[str]:
    notes = ["for ethanol and water only: denaturants, shellac and methanol shift the density"]
    if percent_vol < _WEAKEST_FOR_SHELLAC:
        notes.append(f"below {_WEAKEST_FOR_SHELLAC} % v/v, where spirit for shellac begins")
    if abs(warmth - 20) > 5:
        notes.append("a glass hydrometer made for 20 °C is itself a little off here: read at 20 °C")
    return notes


def _proof_of(mass: float) -> Decimal:
    return round_half_even(from_float(200 * _by_volume(mass, _FAHRENHEIT_60)), _PROOF_STEP)


def _mass_of_proof(proof: Decimal) -> float:
    return _fraction_at(_FAHRENHEIT_60, float(proof) / 200)


def _water_parts(mass: float) -> float:
    """Water, by its own volume, in 100 volumes of the mixture at 60 °F."""
    return 100 * (1 - mass) * _density(mass, _FAHRENHEIT_60) / _density(0, _FAHRENHEIT_60)


def _by_volume(mass: float, warmth: float) -> float:
    return mass * _density(mass, warmth) / _density(1, warmth)


def _fraction_at(warmth: float, volume: float) -> float:
    """The mass fraction of a volume fraction."""
    return _solved(lambda mass: _by_volume(mass, warmth), volume)


def _solved(rising: Callable[[float], float], wanted: float) -> float:
    """The share from 0 to 1 where a rising function reaches a value between its ends."""
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if rising(middle) < wanted:
            low = middle
        else:
            high = middle
    return round(high, 12)


def _density(mass: float, warmth: float) -> float:
    return _polynomial(_by_mass_power(warmth), mass)


@functools.lru_cache(maxsize=64)
def _by_mass_power(warmth: float) -> tuple[float, ...]:
    """The coefficients of the mass fraction at one temperature, so that a search is quick."""
    return tuple(_polynomial(series, warmth - 20) for series in _coefficients())


@functools.cache
def _coefficients() -> tuple[tuple[float, ...], ...]:
    """For each power of the mass fraction the coefficients of t - 20 °C by rising power."""
    table = {
        (int(row["mass_power"]), int(row["temperature_power"])): float(row["coefficient"])
        for row in rows("ethanol_density.csv")
    }
    masses, warmths = (range(max(powers) + 1) for powers in zip(*table, strict=True))
    return tuple(tuple(table.get((mass, warmth), 0.0) for warmth in warmths) for mass in masses)


def _polynomial(rising: Sequence[float], at: float) -> float:
    value = 0.0
    for coefficient in reversed(rising):
        value = value * at + coefficient
    return value
