"""Correcting readings: a new entry that points at the old one, and the figure that follows it."""

from dataclasses import dataclass
from typing import Any

from pydantic_core import PydanticCustomError

from service.errors import AlreadyCorrected, Invalid, at
from service.office.people.queries import doer
from service.science import units
from service.science.units import Quantity
from service.store.records import corrected_by, stamp
from service.store.session import WriteSession
from service.web.fields import refused_at
from service.workshop.materials.actions import correct_figure
from service.workshop.materials.bodies import FigureCorrection
from service.workshop.materials.queries import figure
from service.workshop.panels._tables import Effect, Reading
from service.workshop.panels.actions.amounts import kept
from service.workshop.panels.actions.lot_readings import mean_figure, value_columns
from service.workshop.panels.actions.readings import add_effects, check_ratings, reading_number
from service.workshop.panels.bodies.measurements import MeasuredIn
from service.workshop.panels.bodies.readings import ReadingCorrection, ReplacesIn
from service.workshop.panels.queries.protocols import tests_of
from service.workshop.panels.queries.readings import effects_of, reading, readings_behind

_OF_PANELS = frozenset({"saw", "gone_after", "rating"})
_OF_LOTS = frozenset({"value", "unit", "method"})


@dataclass(frozen=True, slots=True)
class Corrected:
    """The entry that stands now, and the number of the lot's figure where it changed with it."""

    row: Reading
    figure: str | None


def correct_reading(session: WriteSession, number: str, wanted: ReadingCorrection) -> Corrected:
    """Raises UnknownReading, AlreadyCorrected."""
    old = reading(session, number)
    if (later := corrected_by(session, old)) is not None:
        raise AlreadyCorrected(f"{old.number} was corrected by {later.number}.")
    by = doer(session, wanted.by)
    changes = {} if wanted.replaces is None else _changes(session, old, wanted.replaces)
    before = old.model_dump(exclude={"id"})
    entry = {
        **stamp(session, by=by, happened_at=old.happened_at),
        "corrects": old.row_id,
        "void": wanted.void,
        "reason": wanted.reason,
    }
    row = Reading(**{**before, **changes, **entry, "number": reading_number(session)})
    session.add(row)
    session.flush()  # its effects and the figure point at it
    if not wanted.void:
        _replace_effects(session, old, row, wanted=wanted.replaces or ReplacesIn())
    return Corrected(row, None if old.panel else _correct_figure(session, old, row, wanted=wanted))


def _changes(session: WriteSession, old: Reading, wanted: ReplacesIn) -> dict[str, Any]:
    """The columns that are put right. Raises Invalid for what the reading cannot have."""
    strange = (_OF_LOTS if old.panel else _OF_PANELS) & wanted.model_fields_set
    if strange:
        name = min(strange)
        kind = "seen on a panel" if old.panel else "measured"
        wrong = f"{old.number} was {kind}; it has no {name!r} to replace."
        raise Invalid(wrong, at(f"#/replaces/{name}", wrong, "not-of-this-reading"))
    changes: dict[str, Any] = {
        name: getattr(wanted, name)
        for name in ("rating", "method", "remark")
        if name in wanted.model_fields_set
    }
    if wanted.temperature is not None:
        changes["temperature_c"] = kept(wanted.temperature)
    if "rating" in changes:
        changes["scale"] = _scale(session, old, wanted.rating)
    if "value" in wanted.model_fields_set:
        changes.update(value_columns(_value(old, wanted)))
    if changes.get("method", old.method) is None and old.panel is None:
        wrong = "A measured value needs its method."
        raise Invalid(wrong, at("#/replaces/method", wrong, "method-missing"))
    return changes


def _scale(session: WriteSession, old: Reading, rating: str | None) -> str | None:
    tests = {t.test: t for t in tests_of(session, old.protocol or "", old.version or 0)}
    scale = tests[old.test].scale
    check_ratings(session, [("#/replaces/rating", scale, rating)])
    return scale if rating is not None else None


def _value(old: Reading, wanted: ReplacesIn) -> Quantity:
    """The value put right, read as the property's. Raises Invalid."""
    try:
        return MeasuredIn(value=wanted.value, unit=wanted.unit).read(old.test)[0]
    except PydanticCustomError as error:
        raise refused_at(error, "#/replaces/value") from None


def _replace_effects(
    session: WriteSession, old: Reading, row: Reading, *, wanted: ReplacesIn
) -> None:
    """What was seen as it is put right; what is not sent stays."""
    held = effects_of(session, [old.row_id])[old.row_id]
    gone = {effect.gone_after_seconds for effect in held}
    seconds = gone.pop() if len(gone) == 1 else None
    if "gone_after" in wanted.model_fields_set:
        seconds = wanted.gone_after and int(units.canonical(wanted.gone_after))
    if wanted.saw is not None:
        add_effects(session, row, wanted.saw, gone_after_seconds=seconds)
        return
    session.add_all(
        Effect(
            reading=row.row_id,
            effect=effect.effect,
            extent=effect.extent,
            gone_after_seconds=seconds,
        )
        for effect in held
    )
    session.flush()  # the answer shows them


def _correct_figure(
    session: WriteSession, old: Reading, row: Reading, *, wanted: ReadingCorrection
) -> str | None:
    """The lot's figure again as the mean of what still stands; None where it was not of these."""
    held = figure(session, old.test, ("lot", old.lot_number))
    numbers = [number.strip() for number in (held.source or "").split(",")] if held else []
    if held is None or old.number not in numbers:
        return None
    names = ", ".join(row.number if number == old.number else number for number in numbers)
    standing = readings_behind(session, names)
    correction = FigureCorrection(
        replaces=mean_figure(standing) if standing else None,
        void=not standing,
        reason=wanted.reason,
        by=row.by,
    )
    return correct_figure(session, held.number, correction).number
