"""What is read of readings: rows, sentences over trials, and what was not tried."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from sqlmodel import col, func, select

from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.materials.queries import figure
from service.workshop.materials.rules import properties
from service.workshop.panels._tables import Effect, Panel, ProtocolTest, Reading
from service.workshop.panels.queries.listing import CodedListing
from service.workshop.panels.queries.panels import Upper
from service.workshop.panels.queries.protocols import exposure_of, tests_by_version
from service.workshop.panels.rules import UnknownReading
from service.workshop.panels.rules.sentences import (
    Condition,
    Noticed,
    measured,
    outcome,
    sentence,
)
from service.workshop.stock.queries import Lot

READINGS = CodedListing(
    "readings",
    Reading,
    sorts=("happened_at", "number"),
    default_sort="-happened_at",
    filters={"lot": Upper, "panel": Upper, "protocol": Upper, "test": str},
    times=("happened_at",),
    columns={
        "lot": col(Reading.lot_number),
        "panel": select(Panel.code)
        .where(col(Panel.id) == col(Reading.panel))
        .correlate(Reading)
        .scalar_subquery(),
    },
)


@dataclass(frozen=True, slots=True)
class Sentence:
    """One test over its trials on one lot under one condition, in words."""

    test: str
    tried: str
    text: str
    protocol: str
    version: int
    lot: str
    panels: tuple[int, ...]
    readings: tuple[str, ...]

    @property
    def n(self) -> int:
        """The number of trials."""
        return len(self.readings)


@dataclass(frozen=True, slots=True)
class Constant:
    """A figure of a lot with the readings that it is the mean of, and its sentence."""

    property: str
    figure: str
    readings: tuple[Reading, ...]
    text: str


def reading(session: ReadSession, number: str) -> Reading:
    """Raises UnknownReading."""
    row = session.exec(select(Reading).where(Reading.number == number.strip().upper())).first()
    if row is None:
        raise UnknownReading(f"There is no reading {number[:20]!r}.")
    return row


def readings_of(session: ReadSession, lot_ids: Iterable[int]) -> list[Reading]:
    """The standing readings of lots: by day, panel and position on it, trials in turn."""
    rows = session.exec(
        select(Reading).where(col(Reading.lot).in_(set(lot_ids)), standing(Reading))
    )
    return sorted(rows, key=_reading_order)


def readings_on(session: ReadSession, panel: Panel) -> list[Reading]:
    """The standing readings on a panel, in the order of entry."""
    found = select(Reading).where(Reading.panel == panel.row_id, standing(Reading))
    return list(session.exec(found.order_by(col(Reading.id))))


def _reading_order(row: Reading) -> tuple[object, ...]:
    return (row.read_on, row.panel or 0, _place(row), row.test, row.trial)


def _place(row: Reading) -> tuple[str, int]:
    """The position on the panel, A2 before A10."""
    at = row.at or ""
    return at[:1], int(at[1:] or 0)


def effects_of(session: ReadSession, reading_ids: Iterable[int]) -> dict[int, list[Effect]]:
    """The effects of readings, in one query; a reading that saw nothing has none."""
    wanted = set(reading_ids)
    rows = session.exec(
        select(Effect).where(col(Effect.reading).in_(wanted)).order_by(col(Effect.id))
    )
    found: dict[int, list[Effect]] = {reading_id: [] for reading_id in wanted}
    for row in rows:
        found[row.reading].append(row)
    return found


def noticed(effects: Sequence[Effect]) -> tuple[Noticed, ...]:
    """Effects as the sentences need them."""
    return tuple(Noticed(row.effect, row.extent, row.gone_after_seconds) for row in effects)


def next_trial(session: ReadSession, test: str, *, lot: int, panel: int | None) -> int:
    """The number of the next trial of a test on a panel, or of a property of a lot."""
    wanted = select(func.max(Reading.trial)).where(
        Reading.lot == lot, Reading.panel == panel, Reading.test == test
    )
    return (session.exec(wanted).one() or 0) + 1


def exposures_of(
    session: ReadSession, rows: Iterable[Reading]
) -> dict[tuple[str, int, str], ProtocolTest]:
    """The tests that panel readings were made by, by protocol, version and test."""
    tests = tests_by_version(session, versions_used(rows))
    return {(*place, test.test): test for place, held in tests.items() for test in held}


def versions_used(rows: Iterable[Reading]) -> list[tuple[str, int]]:
    """The protocols with their versions that readings were made by, in that order."""
    places = ((row.protocol, row.version) for row in rows)
    return list(dict.fromkeys((code, n) for code, n in places if code and n))


def sentences(
    session: ReadSession, rows: Sequence[Reading], *, coats: bool = False
) -> list[Sentence]:
    """What was put on and what was seen, a sentence for each test, lot and condition, in the
    order of the positions on the panel.

    `coats` has the sentence say coats and age too, where no footnote does.
    """
    exposures = exposures_of(session, rows)
    effects = effects_of(session, [row.row_id for row in rows])
    groups: dict[tuple[object, ...], list[Reading]] = {}
    for row in sorted(rows, key=_place):
        if row.protocol and row.version:
            key = (row.lot, row.protocol, row.version, row.test, _condition(row, coats=True))
            groups.setdefault(key, []).append(row)
    return [_sentence(group, exposures, effects=effects, coats=coats) for group in groups.values()]


def _sentence(
    group: Sequence[Reading],
    exposures: dict[tuple[str, int, str], ProtocolTest],
    *,
    effects: dict[int, list[Effect]],
    coats: bool,
) -> Sentence:
    first = group[0]
    protocol, version = first.protocol or "", first.version or 0
    test = exposures[protocol, version, first.test]
    outcomes = [outcome(noticed(effects[row.row_id])) for row in group]
    return Sentence(
        test=first.test,
        tried=test.tried,
        text=sentence(exposure_of(test), _condition(first, coats=coats), outcomes),
        protocol=protocol,
        version=version,
        lot=first.lot_number,
        panels=tuple(dict.fromkeys(row.panel for row in group if row.panel)),
        readings=tuple(row.number for row in group),
    )


def _condition(row: Reading, *, coats: bool) -> Condition:
    if not coats:
        return Condition(row.temperature_c)
    return Condition(row.temperature_c, row.coats, row.age_days)


def tests_not_tried(
    session: ReadSession, versions: Iterable[tuple[str, int]], rows: Iterable[Reading]
) -> list[str]:
    """What these protocol versions would put on and no reading did, in the protocol's words."""
    done = {(row.protocol, row.test) for row in rows}
    tried = {row.tried for row in rows}
    tests = tests_by_version(session, versions)
    left = [
        test.tried
        for (code, _), held in tests.items()
        for test in held
        if (code, test.test) not in done and test.tried not in tried
    ]
    return list(dict.fromkeys(left))


def reading_text(session: ReadSession, row: Reading) -> str:
    """The sentence of one reading."""
    effects = effects_of(session, [row.row_id])[row.row_id]
    return text_of(row, exposures_of(session, [row]), effects)


def text_of(
    row: Reading,
    exposures: dict[tuple[str, int, str], ProtocolTest],
    effects: Sequence[Effect],
) -> str:
    """The sentence of one reading whose test and effects are at hand."""
    if row.protocol and row.version:
        test = exposures[row.protocol, row.version, row.test]
        seen = outcome(noticed(effects))
        return sentence(exposure_of(test), _condition(row, coats=True), [seen])
    label, value = properties()[row.test].label, f"{row.entered_value} {row.entered_unit}"
    temperature: Decimal | None = row.temperature_c
    return measured(
        label, value.removesuffix(" 1"), method=row.method or "", temperature_c=temperature, n=1
    )


def readings_behind(session: ReadSession, source: str | None) -> list[Reading]:
    """The standing readings that a figure's source names."""
    numbers = [number.strip() for number in (source or "").split(",")]
    rows = session.exec(
        select(Reading)
        .where(col(Reading.number).in_(numbers), standing(Reading))
        .order_by(col(Reading.trial))
    )
    return list(rows)


def constants(session: ReadSession, lot: Lot) -> list[Constant]:
    """The measured constants of a lot, in the order of the table of properties."""
    found = []
    for name, known in properties().items():
        row = figure(session, name, ("lot", lot.number))
        if row is None or row.basis != "measured":
            continue
        behind = readings_behind(session, row.source)
        value = f"{row.entered_value} {row.entered_unit}".removesuffix(" 1")
        text = measured(
            known.label,
            value,
            method=row.method or "",
            temperature_c=row.temperature_c,
            n=max(len(behind), 1),
        )
        found.append(Constant(name, row.number, tuple(behind), text))
    return found
