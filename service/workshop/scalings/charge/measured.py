"""What was measured in the pot on the way, beside what was worked out for it."""

from collections.abc import Sequence
from fractions import Fraction

from service.errors import Invalid, at
from service.science import units
from service.science.formulation import Pot, Reading
from service.science.rounding import decimal_of, plain, round_significant
from service.workshop.recipes.inside.working import Rows
from service.workshop.scalings.bodies import ScalingIn

GRAM_MG = 1000
_TAKES_ACID = "neutralise"  # the one rule by the acid in the pot
MOST_OF_EXPECTED = 2  # more than twice what there should be is another pot


def check_measured(wanted: ScalingIn, stages: Sequence[str]) -> None:
    """Raises Invalid for a stage that the recipe does not have."""
    for place, each in enumerate(wanted.measured):
        if each.stage not in stages:
            wrong = f"The recipe has no stage {each.stage}."
            hint = f"It has {', '.join(stages)}."
            raise Invalid(wrong, at(f"#/measured/{place}/stage", wrong, "no-stage", hint=hint))


def unfollowed(wanted: ScalingIn, rows: Rows) -> list[str]:
    """The stages of which the acid value was measured, though no line after them goes by it."""
    order = [row.stage for row in rows.stages]
    takes = [order.index(line.stage) for line in rows.lines if line.rule == _TAKES_ACID]
    return [
        each.stage
        for each in wanted.measured
        if each.acid_value is not None
        and not any(place > order.index(each.stage) for place in takes)
    ]


def acid_readings(wanted: ScalingIn) -> list[Reading]:
    """What was measured of the acid; masses need the size of the charge, so they come later."""
    return [
        Reading(each.stage, units.canonical(each.acid_value))
        for each in wanted.measured
        if each.acid_value is not None
    ]


def mass_readings(
    wanted: ScalingIn, pots: Sequence[Pot], *, grams_per_unit: Fraction
) -> list[Reading]:
    """All that was measured, masses beside what the charge should have weighed then. Raises
    Invalid for a mass that no pot can have had."""
    expected = {pot.stage: pot.goes_on * grams_per_unit for pot in pots}
    found = []
    for place, each in enumerate(wanted.measured):
        share = Fraction(1)
        if each.mass is not None:
            grams = Fraction(units.canonical(each.mass)) / GRAM_MG
            _check_mass(place, each.stage, grams=grams, expected=expected[each.stage])
            share = grams / expected[each.stage]
        acid = None if each.acid_value is None else units.canonical(each.acid_value)
        found.append(Reading(each.stage, acid, share))
    return found


def _check_mass(place: int, stage: str, *, grams: Fraction, expected: Fraction) -> None:
    if grams <= MOST_OF_EXPECTED * expected:
        return
    wrong = f"The charge cannot weigh {plain(decimal_of(grams))} g at the end of {stage}."
    there = plain(round_significant(decimal_of(expected), 4)) if expected else "0"
    hint = f"By its lines it is {there} g: weigh the pot less what it weighs empty."
    raise Invalid(wrong, at(f"#/measured/{place}/mass", wrong, "out-of-range", hint=hint))
