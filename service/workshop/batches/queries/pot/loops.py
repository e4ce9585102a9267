"""An adjustment followed from reading to reading: how near it came, and what to add next."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.science.adjusting import Adding, alkali_value, takes_up_acid
from service.science.errors import ScienceError
from service.store.session import ReadSession
from service.workshop.batches._tables import Batch, Weighing
from service.workshop.batches._tables_pot import Adjustment
from service.workshop.batches.queries.pot.adjustments import (
    Held,
    additions,
    held,
    in_since,
    key,
    readings,
)
from service.workshop.batches.rules import goals
from service.workshop.batches.rules.goals import GOALS, By, Pot, State
from service.workshop.materials import queries as materials
from service.workshop.materials.queries import FigureRow
from service.workshop.materials.rules import properties
from service.workshop.stock import queries as stock


@dataclass(frozen=True, slots=True)
class Turn:
    """A reading, what the pot held then, and what was added for the goal after it."""

    read: FigureRow
    held: Held | None
    added: Sequence[Weighing]

    @property
    def added_g(self) -> Decimal:
        return Decimal(sum(each.amount_mg for each in self.added)) / 1000

    def pot(self, cup: str | None) -> Pot | None:
        if self.held is None:
            return None
        return Pot(Decimal(self.held.mg) / 1000, self.read.value.normalize() + 0, cup)


@dataclass(frozen=True, slots=True)
class Counts:
    """As what an addition counts, and by which figure or answer that is known."""

    value: Decimal
    by: By
    figure: FigureRow | None
    how: str


@dataclass(frozen=True, slots=True)
class Open:
    """Why nothing is proposed."""

    text: str
    needs: str | None = None


@dataclass(frozen=True)
class Loop:
    """An adjustment as it stands."""

    row: Adjustment
    turns: Sequence[Turn]
    stray: Sequence[Weighing]  # added for it before anything was read
    state: State
    adding: Adding | None = None
    counts: Counts | None = None
    open: Open | None = None

    @property
    def added(self) -> list[Weighing]:
        return [*self.stray, *(each for turn in self.turns for each in turn.added)]


def loop(session: ReadSession, batch: Batch, row: Adjustment) -> Loop:
    """An adjustment followed through all that was read and added for it."""
    read = readings(session, batch, row)
    added = additions(session, batch, row)
    keys = [key(each) for each in read]
    turns = [
        Turn(
            each,
            held(session, batch, at),
            [one for one in added if at < key(one) and not any(at < k < key(one) for k in keys)],
        )
        for each, at in zip(read, keys, strict=True)
    ]
    stray = [one for one in added if not keys or key(one) <= keys[0]]
    if row.void:
        return Loop(row, turns, stray, "voided")
    if not turns:
        return Loop(row, turns, stray, "unread", open=Open("Nothing was read yet.", "a reading"))
    last = turns[-1]
    if since := in_since(session, batch, key(last.read)):
        grams = Decimal(sum(each.amount_mg for each in since)) / 1000
        told = f"{grams.normalize():f} g went in since it was read."
        return Loop(row, turns, stray, "read-again", open=Open(told, "a reading"))
    if goals.reached(last.read.value, target=row.target, within=row.within):
        return Loop(row, turns, stray, "reached")
    return _next(session, Loop(row, turns, stray, "undecided"))


def _next(session: ReadSession, found: Loop) -> Loop:
    """The same with what to add next, or why that cannot be told."""
    row, turns, stray = found.row, found.turns, found.stray
    pot = turns[-1].pot(row.cup)
    if pot is None:
        open_ = Open("What the pot holds is not known.", "`mass` beside the next reading")
        return Loop(row, turns, stray, "undecided", open=open_)
    try:
        counts = counted(session, row) or _by_answer(row, turns)
    except ScienceError as error:
        return Loop(row, turns, stray, "undecided", open=Open(_said(error), error.hint))
    if counts is None:
        open_ = _unlike_warm(row, turns) or _unknown(session, row)
        return Loop(row, turns, stray, "undecided", open=open_)
    try:
        adding = goals.proposed(GOALS[row.property], pot, target=row.target, added=counts.value)
    except ScienceError as error:
        beyond = error.field == "target"
        state: State = "out-of-reach" if beyond else "undecided"
        told = Open(_beyond(row, pot) if beyond else _said(error), error.hint)
        return Loop(row, turns, stray, state, counts=counts, open=told)
    return Loop(row, turns, stray, "proposed", adding=adding, counts=counts)


def _said(error: ScienceError) -> str:
    return f"{error.message[:1].upper()}{error.message[1:]}."


def _beyond(row: Adjustment, pot: Pot) -> str:
    label = properties()[row.property].label.lower()
    return (
        f"{row.material} does not bring the {label} from {pot.value.normalize():f} to "
        f"{row.target.normalize():f} {properties()[row.property].unit}."
    )


def lot_to_add(session: ReadSession, material: str) -> str | None:
    """The lot whose figures count: the one that would be drawn first."""
    found = stock.open_lots(session, material)
    return found[0].lot.number if found else None


def counted(session: ReadSession, row: Adjustment) -> Counts | None:
    """As what the material counts by its figures; a base counts as an acid value below nothing.

    Raises ScienceError for an assay that cannot be one.
    """
    chain = (("lot", lot_to_add(session, row.material)), ("material", row.material))
    formula = materials.material(session, row.material).formula
    if row.property == goals.ACID and formula is not None and takes_up_acid(formula):
        assay = materials.figure(session, goals.ASSAY, *chain)
        if assay is None:
            return None
        value = -alkali_value(formula, assay.value)
        return Counts(value, "alkali", assay, f"the acid that {formula} takes up")
    figure = materials.figure(session, GOALS[row.property].figure, *chain)
    return None if figure is None else Counts(figure.value, "figure", figure, "its figure")


def _by_answer(row: Adjustment, turns: Sequence[Turn]) -> Counts | None:
    """As what the last addition counted, where the pot was read before and after it and nothing
    else went in between."""
    if len(turns) < 2 or not turns[-2].added:
        return None
    before, after = turns[-2], turns[-1]
    if _unlike_warm(row, turns) is not None:
        return None
    pot = before.pot(row.cup)
    if pot is None or before.held is None or after.held is None:
        return None
    if Decimal(after.held.mg - before.held.mg) / 1000 != before.added_g:
        return None
    value = goals.answered(GOALS[row.property], pot, after=after.read.value, added_g=before.added_g)
    if value is None:
        return None
    how = f"what the pot answered to the last {before.added_g.normalize():f} g"
    return Counts(value, "answer", None, how)


def _unlike_warm(row: Adjustment, turns: Sequence[Turn]) -> Open | None:
    """Why the last addition has shown nothing, where the pot was read otherwise warm after it."""
    if row.property not in goals.FLOWS or len(turns) < 2:
        return None
    before, now = turns[-2].read.temperature_c, turns[-1].read.temperature_c
    told = goals.warmth_note(before, now)
    if told is None or before is None:
        return None
    text = f"What the last addition did cannot be told: {told}."
    return Open(text, f"a reading at {before.normalize():f} °C")


def _unknown(session: ReadSession, row: Adjustment) -> Open:
    wanted = GOALS[row.property].figure
    formula = materials.material(session, row.material).formula
    if row.property == goals.ACID and takes_up_acid(formula):
        wanted = goals.ASSAY
    label = properties()[wanted].label.lower()
    text = (
        f"The {label} of {row.material} is not known, and no addition has shown yet what it does."
    )
    needs = f'POST /v1/materials/{row.material}/figures with the property "{wanted}"'
    return Open(text, f"{needs}, or add a little, stir and read again")
