"""The lots that feed a line: where several differ, and where one is unlike those of the proof."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from service.office.workshop_card.queries import today
from service.science.rounding import decimal_of, plain, round_significant
from service.workshop.materials.queries import Figure, figures_of
from service.workshop.materials.rules import properties
from service.workshop.recipes import queries as recipes
from service.workshop.scalings.bodies import FlagOut, TargetOut
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.rules import Target
from service.workshop.stock.rules import blocked

# What the sums look at, and what can be other in every lot.
LOOKED_AT = ("acid_value", "assay", "metal_content", "density", "water", "ethanol_strength")
Figures = Mapping[str, Figure]


@dataclass(frozen=True, slots=True)
class Taken:
    """The lots that the lines take, by material, with what is known of each; first of all the lot
    that the sums go by."""

    lots: Mapping[str, list[str]]
    known: Mapping[str, Figures]

    @classmethod
    def by(cls, plan: Plan, rows: Sequence[TargetOut]) -> "Taken":
        lots: dict[str, list[str]] = {}
        for row in rows:
            first = [held.lot.number for held in plan.open[row.material][:1]] if row.from_ else []
            taken = [*first, *(each.lot for each in row.from_)]
            lots[row.material] = list(dict.fromkeys([*lots.get(row.material, ()), *taken]))
        return cls(lots, _known(plan, lots))


def _known(plan: Plan, lots: Mapping[str, list[str]]) -> dict[str, Figures]:
    """By lot its figures, those of its material where it has none of its own."""
    found: dict[str, Figures] = {}
    for rank in range(max(map(len, lots.values()), default=0)):
        each = {code: numbers[rank] for code, numbers in lots.items() if len(numbers) > rank}
        known = figures_of(plan.session, each, each)
        found.update({number: known[code] for code, number in each.items()})
    return found


def lot_flags(plan: Plan, aims: Sequence[Target], rows: Sequence[TargetOut]) -> Iterator[FlagOut]:
    """Lots of a line that differ, and lots outside what the version was proved with."""
    taken = Taken.by(plan, rows)
    for row in rows:
        yield from _differing(taken, row)
        yield from _overridden(plan, row)
    for band in recipes.proved_bands(plan.session, plan.version):
        yield from _unproved(plan, aims, taken, band=band)


def _differing(taken: Taken, row: TargetOut) -> Iterator[FlagOut]:
    """The lots of a line of which a figure that the sums look at is not the same."""
    used = dict.fromkeys(each.lot for each in row.from_)
    lots = list(dict.fromkeys([*taken.lots[row.material][:1], *used]))
    said = []
    for name in LOOKED_AT if len(lots) > 1 else ():
        values = {lot: taken.known[lot].get(name) for lot in lots}
        if len({None if each is None else each.value for each in values.values()}) > 1:
            told = ", ".join(f"{_value(each)} in {lot}" for lot, each in values.items())
            said.append(f"{properties()[name].label.lower()} {told}")
    if said:
        text = f"Its lots differ: {'; '.join(said)}. The sums go by {lots[0]}, the first."
        yield FlagOut(code="several-lots", line=row.line, text=text)


def _overridden(plan: Plan, row: TargetOut) -> Iterator[FlagOut]:
    """A lot of the line that is not open, and was chosen with a reason."""
    used = {each.lot for each in row.from_}
    for lot in (held.lot for held in plan.open[row.material]):
        why = blocked(lot, today(plan.session))
        if why is not None and lot.number in used:
            text = f"{lot.number} is taken though {why}: {plan.sent.override_reason}"
            yield FlagOut(code="lot-overridden", line=row.line, text=text)


def _value(row: Figure | None) -> str:
    if row is None:
        return "not known"
    return f"{plain(row.value)} {properties()[row.property].unit}"


def _unproved(
    plan: Plan, aims: Sequence[Target], taken: Taken, *, band: recipes.ProvedBand
) -> Iterator[FlagOut]:
    """Every lot outside the band; of the one that the sums go by, what follows from it."""
    first = plan.of.figure_row(band.property, band.material)
    lots = taken.lots.get(band.material, ())
    known = [first, *(taken.known[lot].get(band.property) for lot in lots)]
    rows = {row.number: row for row in known if row is not None}
    line = next((x.line for x in plan.lines if x.material == band.material), None)
    for row in rows.values():
        if band.low <= row.value <= band.high:
            continue
        label, unit = properties()[band.property].label, properties()[band.property].unit
        span = f"{plain(band.low)} to {plain(band.high)} {unit}"
        more = _recomputed(plan, band, aims) if row == first else ""
        text = (
            f"{label} {_value(row)} of {row.subject} is outside the {span} that this version was "
            f"proved with.{more}"
        )
        yield FlagOut(code="outside-proved-band", line=line, text=text)


def _recomputed(plan: Plan, band: recipes.ProvedBand, aims: Sequence[Target]) -> str:
    """Each derived line by this lot, beside what it would be by the middle of the band."""
    middle = (band.low + band.high) / 2
    proved = plan.of.as_if(band.material, band.property, middle)
    other = {} if proved is None else plan.masses_with(proved)
    now_of = {each.line: each.mass for each in plan.done.charged}
    said = []
    for aim in aims:
        was, now = other.get(aim.line), now_of.get(aim.line)
        if was is not None and now is not None and was != now:
            grams = plain(round_significant(decimal_of(aim.exact_g * was / now), 4))
            said.append(
                f" Line {aim.line} is {plain(aim.rounded_g)} g by this lot, {grams} g by the "
                f"middle of the band."
            )
    return "".join(said)
