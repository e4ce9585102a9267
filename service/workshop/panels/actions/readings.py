"""Recording what was seen on a panel."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.errors import Fault, Invalid, Remedy, at
from service.office.people.queries import doer
from service.office.workshop_card.queries import today
from service.science import units
from service.store.numbers import draw, mark_drawn
from service.store.session import WriteSession
from service.workshop.deviations.actions import Fact, open_deviation
from service.workshop.deviations.bodies import Flag
from service.workshop.panels._tables import Effect, Panel, ProtocolTest, Reading
from service.workshop.panels.actions.amounts import kept
from service.workshop.panels.actions.days import day_stamp
from service.workshop.panels.bodies.readings import PanelReadingsIn, RoomIn, RowIn
from service.workshop.panels.queries.panels import coats_of, panel
from service.workshop.panels.queries.protocols import protocol_in_body, tests_of, version_numbers
from service.workshop.panels.queries.readings import next_trial
from service.workshop.panels.queries.scales import values_of
from service.workshop.panels.rules.flags import coats_on, reading_flags
from service.workshop.panels.rules.words import Seen


@dataclass(frozen=True, slots=True)
class Page:
    """What a page of readings made: rows, flags, and what was assumed."""

    panel: Panel
    protocol: str
    version: int
    rows: list[Reading]
    flags: list[Flag]
    assumed: dict[str, Any]


def record_page(session: WriteSession, code: str, wanted: PanelReadingsIn) -> Page:
    """A reading for each row that is filled. Raises UnknownPanel."""
    held = panel(session, code)
    by = doer(session, wanted.by)
    protocol, version = _version(session, wanted)
    tests = _tests(session, protocol, version, rows=wanted.filled)
    on = wanted.on or today(session)
    days = [coat.coated_on for coat in coats_of(session, [held.id])[held.row_id]]
    base = {
        "lot": held.lot,
        "lot_number": held.lot_number,
        "panel": held.row_id,
        "protocol": protocol,
        "version": version,
        **film_state(on, days),
        **_room(wanted.room or RoomIn()),
        **day_stamp(session, by=by, on=wanted.on),
    }
    rows = [_record(session, tests[at_], row, base=base) for at_, row in wanted.filled.items()]
    flags = flag_state(session, held, on, days=days, by=by)
    assumed = _assumed(wanted, on=on, version=version, by=by)
    return Page(held, protocol, version, rows, flags, assumed)


def _version(session: WriteSession, wanted: PanelReadingsIn) -> tuple[str, int]:
    """The protocol and version asked for. Raises Invalid."""
    protocol = protocol_in_body(session, wanted.protocol, pointer="#/protocol").code
    numbers = version_numbers(session, protocol)
    if wanted.version is not None and wanted.version not in numbers:
        wrong = f"{protocol} has no version {wanted.version}."
        remedy = Remedy(f"version {numbers[-1]}, the newest, was used", {"version": numbers[-1]})
        fault = at("#/version", wrong, "protocol-version-unknown", remedies=(remedy,))
        raise Invalid(wrong, fault)
    return protocol, wanted.version or numbers[-1]


def _tests(
    session: WriteSession, protocol: str, version: int, *, rows: dict[str, RowIn]
) -> dict[str, ProtocolTest]:
    """The tests by position; every row must be one and every rating in its scale."""
    tests = {test.at: test for test in tests_of(session, protocol, version)}
    strangers = [at_ for at_ in rows if at_ not in tests]
    if strangers:
        known = f"{protocol}, version {version}, has: {', '.join(tests)}."
        faults = tuple(_stranger(at_, known) for at_ in strangers)
        raise Invalid(f"{faults[0].detail} {known}", faults)
    check_ratings(
        session,
        [(f"#/rows/{at_}/rating", tests[at_].scale, row.rating) for at_, row in rows.items()],
    )
    return tests


def _stranger(position: str, known: str) -> Fault:
    return Fault(
        detail=f"The protocol has no test at {position}.",
        code="position-unknown",
        pointer=f"#/rows/{position}",
        hint=known,
        remedies=(Remedy("the row is a slip of the pen", {"rows": {position: None}}),),
    )


def check_ratings(
    session: WriteSession, ratings: Sequence[tuple[str, str | None, str | None]]
) -> None:
    """Each rating (pointer, scale, value) must stand in its scale. Raises Invalid."""
    given = [(pointer, scale, value) for pointer, scale, value in ratings if value is not None]
    values = values_of(session, [scale for _, scale, _ in given])
    faults = []
    for pointer, scale, value in given:
        known = [held.value for held in values[scale]] if scale else []
        if value in known:
            continue
        hint = f"{scale} has: {', '.join(known)}." if scale else "Leave the rating out."
        wrong = f"{value!r} is not in the scale." if scale else "This test has no rating scale."
        remedy = Remedy("it was not rated", _without(pointer))
        faults.append(Fault(wrong, "rating-unknown", pointer, hint=hint, remedies=(remedy,)))
    if faults:
        raise Invalid(f"{faults[0].detail} {faults[0].hint}", tuple(faults))


def _without(pointer: str) -> dict[str, Any]:
    """The merge patch that takes the place of a pointer out of the body."""
    patch: Any = None
    for step in reversed(pointer.removeprefix("#/").split("/")):
        patch = {step: patch}
    found: dict[str, Any] = patch
    return found


def film_state(on: date, days: Sequence[date]) -> dict[str, Any]:
    """What a reading of a day says of the film: how many coats, and how old the last of them."""
    wet = coats_on(on, days)
    age = (on - max(wet)).days if wet else None
    return {"read_on": on, "coats": len(wet), "age_days": age}


def _room(room: RoomIn) -> dict[str, Any]:
    return {
        "temperature_c": kept(room.temperature),
        "humidity": kept(room.humidity),
    }


def reading_number(session: WriteSession) -> str:
    """The next reading's number: R-26-0412."""
    year = session.now.year
    return mark_drawn(session, f"R-{year % 100:02d}-{draw(session, f'R-{year}'):04d}")


def _record(
    session: WriteSession, test: ProtocolTest, wanted: RowIn, *, base: dict[str, Any]
) -> Reading:
    own = {} if wanted.temperature is None else {"temperature_c": kept(wanted.temperature)}
    row = Reading(
        number=reading_number(session),
        **{**base, **own},
        at=test.at,
        trial=next_trial(session, test.test, lot=base["lot"], panel=base["panel"]),
        test=test.test,
        tried=test.tried,
        method=test.method,
        scale=test.scale if wanted.rating is not None else None,
        rating=wanted.rating,
        remark=wanted.remark,
    )
    session.add(row)
    session.flush()  # its effects point at it, and the next trial counts it
    gone = wanted.gone_after and int(units.canonical(wanted.gone_after))
    add_effects(session, row, wanted.saw, gone_after_seconds=gone)
    return row


def add_effects(
    session: WriteSession, row: Reading, seen: Iterable[Seen], *, gone_after_seconds: int | None
) -> None:
    """The effects of a reading that stands in the database."""
    session.add_all(
        Effect(
            reading=row.row_id,
            effect=effect.effect,
            extent=effect.extent,
            gone_after_seconds=gone_after_seconds,
        )
        for effect in seen
    )
    session.flush()  # the answer shows them


def flag_state(
    session: WriteSession, held: Panel, on: date, *, days: Sequence[date], by: str | None
) -> list[Flag]:
    """Facts that do not fit the panel; a serious one opens a deviation of the lot."""
    flags = []
    for found in reading_flags(on, days):
        if found.serious:
            text = f"Panel {held.code}: {found.text}"
            fact = Fact("lot", held.lot_number, found.code, text)
            flags.append(open_deviation(session, fact, by=by))
        else:
            flags.append(Flag(code=found.code, text=found.text))
    return flags


def _assumed(wanted: PanelReadingsIn, *, on: date, version: int, by: str | None) -> dict[str, Any]:
    found = {"on": on.isoformat(), "version": version, "by": by}
    return {
        name: value
        for name, value in found.items()
        if value is not None and getattr(wanted, name) is None
    }
