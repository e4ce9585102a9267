"""Readings as they are shown: everything a page of them needs is read at once."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from sqlmodel import col, select

from service.science.rounding import plain
from service.store.session import ReadSession
from service.web.fields import Basis, Figure
from service.web.footnotes import Footnotes
from service.workshop.deviations.bodies import Flag
from service.workshop.materials.bodies import FigureOut, NamedFigure
from service.workshop.materials.queries import figure_numbered, shown_figure, shown_figures
from service.workshop.panels._tables import Coat, Effect, Reading
from service.workshop.panels.bodies.readings import ConditionOut, RatingOut, ReadingOut, SeenOut
from service.workshop.panels.queries.films import Film, film
from service.workshop.panels.queries.panels import coats_of, panels_by_id
from service.workshop.panels.queries.protocols import exposure_of, lasting
from service.workshop.panels.queries.readings import effects_of, exposures_of, text_of
from service.workshop.panels.queries.scales import scales
from service.workshop.panels.rules.flags import reading_flags
from service.workshop.panels.rules.sentences import degrees, exposed


class ReadingViews:
    """Shows any of the readings it was made for."""

    def __init__(self, session: ReadSession, rows: Sequence[Reading]) -> None:
        self._session = session
        self._panels = panels_by_id(session, [row.panel for row in rows])
        self._coats = coats_of(session, [row.panel for row in rows])
        self._exposures = exposures_of(session, rows)
        self._effects = effects_of(session, [row.row_id for row in rows])
        self._scales = scales(session, [row.scale for row in rows])
        self._later = _numbers(session, corrects=[row.row_id for row in rows])
        self._earlier = _numbers(session, ids=[row.corrects for row in rows if row.corrects])
        self._films: dict[tuple[int, ...], Film | None] = {}

    def shown(self, row: Reading) -> ReadingOut:
        notes = Footnotes()
        panel = self._panels.get(row.panel or 0)
        return ReadingOut(
            reading=row.number,
            lot=row.lot_number,
            panel=panel.code if panel else None,
            at=row.at,
            trial=row.trial,
            protocol=row.protocol,
            version=row.version,
            test=row.test,
            tried=self._tried(row),
            method=row.method,
            condition=self._condition(row, notes),
            saw=[_seen(effect) for effect in self._effects[row.row_id]],
            rating=self._rating(row),
            value=_value(row, notes),
            text=text_of(row, self._exposures, self._effects[row.row_id]),
            remark=row.remark,
            flags=self._flags(row),
            by=row.by,
            on=row.read_on,
            happened_at=row.happened_at,
            about=None if row.about_seconds is None else f"PT{row.about_seconds // 60}M",
            entered_at=row.entered_at,
            entered_from=row.entered_from,
            corrects=self._earlier.get(row.corrects or 0),
            corrected_by=self._later.get(row.row_id),
            void=row.void,
            reason=row.reason,
            notes=notes.as_json(),
        )

    def _tried(self, row: Reading) -> str | None:
        if not row.protocol or not row.version:
            return None
        return exposed(exposure_of(self._exposures[row.protocol, row.version, row.test]))

    def _condition(self, row: Reading, notes: Footnotes) -> ConditionOut:
        dry = self._film(row)
        return ConditionOut(
            coats=row.coats,
            age=_figure(row.age_days, "d", "calculated"),
            film=dry.figure(notes) if dry else None,
            temperature=_temperature(row.temperature_c),
            humidity=_figure(row.humidity, "%", "measured"),
        )

    def _film(self, row: Reading) -> Film | None:
        on = [c for c in self._coats.get(row.panel or 0, []) if c.coated_on <= row.read_on]
        key = tuple(coat.row_id for coat in on)
        if key not in self._films:
            self._films[key] = film(self._session, on)
        return self._films[key]

    def _rating(self, row: Reading) -> RatingOut | None:
        if row.rating is None or row.scale is None:
            return None
        scale = self._scales[row.scale]
        return RatingOut(
            value=row.rating,
            scale=scale.code,
            best=scale.best,
            worst=scale.worst,
            basis="measured",
        )

    def _flags(self, row: Reading) -> list[Flag]:
        coats: list[Coat] = self._coats.get(row.panel or 0, [])
        days = [coat.coated_on for coat in coats]
        found = reading_flags(row.read_on, days) if row.panel else []
        return [Flag(code=flag.code, text=flag.text) for flag in found]


def _seen(row: Effect) -> SeenOut:
    gone = row.gone_after_seconds
    return SeenOut(effect=row.effect, extent=row.extent, gone_after=lasting(gone) if gone else None)


def _value(row: Reading, notes: Footnotes) -> Figure | None:
    if row.entered_value is None or row.entered_unit is None:
        return None
    note = {"basis": "measured", "method": row.method, "on": row.read_on.isoformat(), "n": 1}
    name = notes.add(row.test, note)
    return Figure(value=row.entered_value, unit=row.entered_unit, basis="measured", note=name)


def _figure(value: Decimal | int | None, unit: str, basis: Basis) -> Figure | None:
    if value is None:
        return None
    return Figure(value=plain(Decimal(value)), unit=unit, basis=basis)


def _temperature(value: Decimal | None) -> Figure | None:
    return None if value is None else Figure(value=degrees(value), unit="°C", basis="measured")


def _numbers(
    session: ReadSession, *, corrects: Sequence[int] = (), ids: Sequence[int] = ()
) -> dict[int, str]:
    """Numbers of readings: by the key of what they correct, or by their own key."""
    column = col(Reading.corrects) if corrects else col(Reading.id)
    rows = session.exec(select(Reading).where(column.in_(set(corrects or ids))))
    return {(row.corrects or 0) if corrects else row.row_id: row.number for row in rows}


def shown_reading(session: ReadSession, row: Reading) -> ReadingOut:
    return ReadingViews(session, [row]).shown(row)


def shown_readings(session: ReadSession, rows: Sequence[Reading]) -> list[ReadingOut]:
    views = ReadingViews(session, rows)
    return [views.shown(row) for row in rows]


def figures_numbered(
    session: ReadSession, numbers: Sequence[str]
) -> tuple[list[NamedFigure], dict[str, dict[str, Any]]]:
    """Figures by their numbers as a document shows them, and its notes."""
    notes = Footnotes()
    rows = [figure_numbered(session, number) for number in numbers]
    return shown_figures(rows, notes), notes.as_json()


def figure_of(session: ReadSession, number: str | None) -> FigureOut | None:
    """A figure by its number, alone."""
    return None if number is None else shown_figure(session, figure_numbered(session, number))
