"""Figures of a mixture: worked out where science has a rule, else not carried, and said so."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.science.blending import Portion, blend, blended_figure, mixing_rule
from service.science.errors import ScienceError
from service.science.rounding import plain, round_half_even
from service.science.units import CANONICAL, Quantity
from service.store.session import WriteSession
from service.workshop.materials import queries as materials
from service.workshop.materials.actions import record_figure
from service.workshop.materials.bodies import FigureIn
from service.workshop.materials.queries import FigureRow
from service.workshop.materials.rules import properties
from service.workshop.stock import queries
from service.workshop.stock._tables import Lot, TopUp
from service.workshop.stock.actions.mixing import Part
from service.workshop.stock.bodies import NotCarried

# Which quantity of the mixing rules a property is.
_MEANS = {
    "non_volatile": "non-volatile",
    "water": "water",
    "exempt": "VOC by mass",  # evaporates, and is a share by mass, as that is
    "metal_content": "metal",
    "acid_value": "acid value",
    "saponification_value": "saponification value",
    "iodine_value": "iodine value",
}
_NO_MEANS = {
    "voc": "VOC per volume",
    "kinematic_viscosity": "viscosity",
    "viscosity": "viscosity",
    "flow_time": "cup time",
    "flash_point": "flash point",
    "gloss": "gloss",
}
_LONGEST_SOURCE = 200
_MEASURE = "measure the mixture"
_SHRINKS = "spirit and water shrink on mixing, and a part of it states its strength as ethanol"


class _Unknown(Exception):
    """Why a figure of the mixture is not known, and how it becomes so."""

    def __init__(self, why: str, instead: str = _MEASURE) -> None:
        self.why, self.instead = why, instead


@dataclass(frozen=True, slots=True)
class _Known:
    """A part with what is known of it: its lot's figures before its material's."""

    part: Part
    figures: Mapping[str, FigureRow]
    metal: str | None


def blend_figures(
    session: WriteSession, made: Lot, parts: Sequence[Part], entry: TopUp
) -> tuple[list[str], list[NotCarried]]:
    """Record what can be worked out of a mixture; the numbers of its figures, and what is not
    carried over although a part has it. What holds for all parts as for the material stays so."""
    known = [_known(session, part) for part in parts]
    own = _by_name(session, "material", made.material)
    numbers, unknown = [], []
    for name, prop in properties().items():
        rows = [each.figures.get(name) for each in known]
        held = {row.number for row in rows if row is not None}
        inherited = {own[name].number} if name in own else set[str]()
        if not held or (held == inherited and None not in rows):
            continue
        try:
            value, temperature = _worked_out(name, known)
        except _Unknown as lacking:
            why = lacking.why if name not in own else f"{lacking.why}; its material's stands"
            unknown.append(
                NotCarried(property=name, label=prop.label, why=why, instead=lacking.instead)
            )
            continue
        wanted = FigureIn(
            property=name,
            value=plain(value),
            unit=CANONICAL[prop.dimension],
            basis="calculated",
            method=_method(name),
            source=_source(rows, parts),
            temperature=temperature,
            by=entry.by,
            happened_at=entry.happened_at,
        )
        numbers.append(record_figure(session, ("lot", made.number), wanted).number)
    return numbers, unknown


def _by_name(session: WriteSession, kind: str, code: str) -> dict[str, FigureRow]:
    return {row.property: row for row in materials.known_figures(session, kind, code)}


def _known(session: WriteSession, part: Part) -> _Known:
    figures: dict[str, FigureRow] = {}
    for kind, code in reversed(queries.subject_chain(part.lot)):
        figures |= _by_name(session, kind, code)
    return _Known(part, figures, materials.material(session, part.lot.material).metal)


def _method(name: str) -> str:
    if name == "density":
        return "total mass over added volumes; an approximation"
    rule = mixing_rule(_MEANS[name])
    return f"{rule.rule}; {rule.why}"


def _source(rows: Sequence[FigureRow | None], parts: Sequence[Part]) -> str:
    said = [
        f"{part.lot.number} {row.entered_value} {row.entered_unit} ({row.basis})"
        for part, row in zip(parts, rows, strict=True)
        if row is not None
    ]
    text = ", ".join(said)
    return text if len(text) <= _LONGEST_SOURCE else f"{text[: _LONGEST_SOURCE - 1]}…"


def _worked_out(name: str, known: Sequence[_Known]) -> tuple[Decimal, Quantity | None]:
    """The figure of the mixture in its canonical unit. Raises _Unknown."""
    if name not in _MEANS and name != "density":
        raise _no_rule(name)
    rows = _all_of(name, known)
    grams = [Decimal(each.part.amount) / 1000 for each in known]
    try:
        if name == "density":
            return _density(rows, grams, known)
        if name == "metal_content" and len({each.metal for each in known}) > 1:
            raise _Unknown("its parts hold different metals")
        mean = blended_figure(_MEANS[name], grams, values=[row.value for row in rows]).mean
    except ScienceError as error:
        raise _Unknown(error.message, error.hint or _MEASURE) from None
    return _rounded(mean, rows), None


def _no_rule(name: str) -> _Unknown:
    if name not in _NO_MEANS:
        return _Unknown("no rule predicts it")
    rule = mixing_rule(_NO_MEANS[name])
    return _Unknown(f"no mean gives it: {rule.why}", _MEASURE)


def _all_of(name: str, known: Sequence[_Known]) -> list[FigureRow]:
    missing = [each.part.lot.number for each in known if name not in each.figures]
    if missing:
        raise _Unknown(f"it is not known of {', '.join(missing)}")
    return [each.figures[name] for each in known]


def _density(
    rows: Sequence[FigureRow], grams: Sequence[Decimal], known: Sequence[_Known]
) -> tuple[Decimal, Quantity | None]:
    if any("ethanol_strength" in each.figures for each in known):
        raise _Unknown(_SHRINKS, "use the alcohol tables, or measure the mixture")
    degrees = {row.temperature_c for row in rows}
    if len(degrees) > 1:
        raise _Unknown("the densities of its parts are of different temperatures")
    # Volumes are added up from masses and densities alone; the solids are not looked at.
    portions = [Portion(mass, Decimal(0), row.value) for mass, row in zip(grams, rows, strict=True)]
    found = blend(portions).density_kg_l
    assert found is not None  # each portion has its density, and no water stands among them
    degree = degrees.pop()
    temperature = None if degree is None else Quantity(degree, "°C", "temperature")
    return _rounded(found, rows), temperature


def _rounded(value: Decimal, rows: Sequence[FigureRow]) -> Decimal:
    """To the last place that any of the parts' figures has: a mean knows no more than they."""
    places = max(_places(row) for row in rows)
    return round_half_even(value, Decimal(1).scaleb(-places))


def _places(row: FigureRow) -> int:
    """Decimals as they were written, where that was in the canonical unit."""
    same = row.entered_unit == properties()[row.property].unit
    written = Decimal(row.entered_value) if same else row.value.normalize()
    exponent = written.as_tuple().exponent
    return max(-exponent, 0) if isinstance(exponent, int) else 0
