"""Correcting coats: the entry, and the readings of the film that follow it."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from service.office.people.queries import doer
from service.store.records import Amends, amend
from service.store.session import WriteSession
from service.workshop.deviations.bodies import Flag
from service.workshop.panels._tables import Coat, Effect, Panel, Reading
from service.workshop.panels.actions.amounts import kept
from service.workshop.panels.actions.days import day_stamp
from service.workshop.panels.actions.panels import liquid
from service.workshop.panels.actions.readings import film_state, flag_state, reading_number
from service.workshop.panels.bodies.coats import CoatCorrection, CoatReplacement
from service.workshop.panels.queries.panels import coat, coats_of, panel
from service.workshop.panels.queries.readings import effects_of, readings_on


@dataclass(frozen=True, slots=True)
class Recoated:
    """A coat as it was corrected, with the readings that were entered again."""

    panel: Panel
    row: Coat
    renewed: list[Reading]
    flags: list[Flag]


def correct_coat(session: WriteSession, code: str, number: int, wanted: CoatCorrection) -> Recoated:
    """Raises UnknownPanel, UnknownCoat, Invalid."""
    held = panel(session, code)
    old = coat(session, held, number)
    amends = Amends(wanted.reason, doer(session, wanted.by), wanted.void)
    changes = {} if wanted.replaces is None else _changes(session, wanted.replaces)
    row = amend(session, old, amends, changes)
    renewed = _renew(session, held, old, row=row, amends=amends)
    days = [each.coated_on for each in coats_of(session, [held.id])[held.row_id]]
    read = sorted({reading.read_on for reading in renewed})
    flags = [flag for on in read for flag in flag_state(session, held, on, days=days, by=amends.by)]
    return Recoated(held, row, renewed, flags)


def _changes(session: WriteSession, wanted: CoatReplacement) -> dict[str, Any]:
    sent = wanted.changed()
    changes: dict[str, Any] = {name: sent[name] for name in ("how",) if name in sent}
    if "wet" in sent:
        changes["wet_g_per_m2"] = kept(wanted.wet)
    if wanted.lot is not None:
        changes["lot"] = liquid(session, wanted.lot, "#/replaces/lot").row_id
    if wanted.on is not None:
        then = day_stamp(session, by=None, on=wanted.on)
        changes["coated_on"] = wanted.on
        changes["happened_at"] = then["happened_at"]
        changes["about_seconds"] = then.get("about_seconds")
    return changes


def _renew(
    session: WriteSession, held: Panel, old: Coat, *, row: Coat, amends: Amends
) -> list[Reading]:
    """The standing readings of which the film was another than they say, entered again."""
    days = [each.coated_on for each in coats_of(session, [held.id])[held.row_id]]
    said = f"Coat {old.coat} of {held.code} was corrected: {amends.reason}"
    again = Amends(said[:600], amends.by)
    return [
        _again(session, reading, film_state(reading.read_on, days), again)
        for reading in readings_on(session, held)
        if _is_other(reading, days, old=old, row=row)
    ]


def _is_other(reading: Reading, days: list[date], *, old: Coat, row: Coat) -> bool:
    state = film_state(reading.read_on, days)
    if (reading.coats, reading.age_days) != (state["coats"], state["age_days"]):
        return True
    was_on = old.coated_on <= reading.read_on
    return was_on and (old.lot, old.wet_g_per_m2) != (row.lot, row.wet_g_per_m2)


def _again(session: WriteSession, old: Reading, state: dict[str, Any], amends: Amends) -> Reading:
    row = amend(session, old, amends, {**state, "number": reading_number(session)})
    session.add_all(
        Effect(
            reading=row.row_id,
            effect=seen.effect,
            extent=seen.extent,
            gone_after_seconds=seen.gone_after_seconds,
        )
        for seen in effects_of(session, [old.row_id])[old.row_id]
    )
    session.flush()  # the answer shows them
    return row
