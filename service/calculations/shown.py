"""How the list tells of each calculation."""

import functools

from service.calculations.bodies import CalculationShown, InputOut
from service.calculations.catalogue import Calculation, calculations
from service.calculations.inputs import Input, record_inputs
from service.science.names import named_unit, words


@functools.cache
def shown_all() -> list[CalculationShown]:
    """Every calculation, in the order of the catalogue."""
    return [_shown(one) for one in calculations()]


def _shown(one: Calculation) -> CalculationShown:
    return CalculationShown(
        name=one.name,
        topic=one.topic,
        purpose=one.purpose,
        says=one.words.purpose,
        href=one.path,
        inputs=[_input(each) for each in one.inputs],
        source=one.words.source,
    )


def _input(one: Input) -> InputOut:
    return InputOut(
        name=one.name,
        meaning="; ".join(part for part in (words(one.name), one.said.meaning) if part),
        unit=named_unit(one.name).unit if one.said.range else None,
        allowed=one.allowed,
        required=one.required,
        many=one.many,
        choices=list(one.choices),
        fields=[_input(each) for each in record_inputs(one.kind)] if one.record else [],
    )
