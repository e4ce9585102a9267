"""The lines of a charge as parts that each count as one thing: oil, resin, or neither."""

from collections.abc import Sequence

from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.inputs import Part
from service.workshop.recipes.rules import Charge


def parts(of: Composition, lines: Sequence[Charge]) -> list[Part]:
    """The lines as parts; an intermediate of oil and resin is taken apart."""
    of.load(line.material for line in lines)
    return [part for line in lines for part in _parts(of, line, ())]


def _parts(of: Composition, line: Charge, above: tuple[str, ...]) -> list[Part]:
    family = of.family(line.material, above)
    inner = of.made_of(line.material, above) if family is None else []
    if not inner:
        return [Part(line.line, line.material, family, line.charged, line.kept)]
    return [
        part
        for below in inner
        for part in _parts(
            of,
            Charge(line.line, below.material, line.charged * below.charged, line.kept * below.kept),
            (*above, line.material),
        )
    ]
