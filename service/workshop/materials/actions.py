"""What changes with materials and figures."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from pydantic_core import PydanticCustomError

from service.errors import AlreadyCorrected, InUse, Invalid
from service.office.people.queries import doer
from service.office.workshop_card.queries import card
from service.science import units
from service.science.rounding import plain
from service.store import named
from service.store.columns import nine_places
from service.store.numbers import yearly
from service.store.records import corrected_by, stamp
from service.store.session import WriteSession
from service.web.amounts import whole
from service.web.etags import Condition
from service.web.fields import refused_at
from service.workshop.materials import queries
from service.workshop.materials._tables import FigureRow, Hazard, Material
from service.workshop.materials.bodies import (
    FigureCorrection,
    FigureIn,
    FigureValue,
    MaterialIn,
    MaterialOut,
    MaterialPatch,
)
from service.workshop.materials.hazards import HazardIn
from service.workshop.materials.ordering import ordering_columns
from service.workshop.materials.rules import ListPrice, lot_prefix, no_currency, price_faults

_CANONICAL = {"holds": "holds_ul", "tare": "tare_mg"}
_APART = {"figures", "hazards", "price", "order"}  # no columns of the same name and kind
_NO_PRICE = {"price": None, "price_per": None, "price_source": None, "price_on": None}


def create_material(session: WriteSession, wanted: MaterialIn) -> tuple[Material, dict[str, Any]]:
    """A material with its first figures, and what was assumed. Raises CodeTaken."""
    named.check_free(session, Material, wanted.code)
    start = "quarantine" if wanted.kind == "finished" else "released"
    assumed = {
        "name": wanted.code,
        "lots_start_as": start,
        "lot_prefix": lot_prefix(wanted.code),
    }
    assumed = {name: value for name, value in assumed.items() if getattr(wanted, name) is None}
    columns = _columns(wanted, wanted.kind)
    _check_price(session, wanted.kind, columns)
    row = Material(**{**columns, **assumed}, created_at=session.now)
    session.add(row)
    session.flush()  # figures, hazards and lots of the same request point at it
    _list_hazards(session, row, wanted.hazards or ())
    record_figures(session, ("material", row.code), wanted.figures, by=None)
    return row, assumed


def _columns(body: MaterialIn | MaterialPatch, kind: str) -> dict[str, Any]:
    sent = {name: getattr(body, name) for name in body.model_fields_set - _APART}
    columns = {
        _CANONICAL.get(name, name): whole(value) if name in _CANONICAL else value
        for name, value in sent.items()
    }
    if "hazards" in body.model_fields_set:
        columns["hazards_known"] = body.hazards is not None
    if "order" in body.model_fields_set:
        columns.update(ordering_columns(body.order, kind))
    if "price" not in body.model_fields_set:
        return columns
    if body.price is None:
        return {**_NO_PRICE, **columns}
    return {**columns, "price": body.price.value, "price_per": body.price.per}


def _check_price(session: WriteSession, kind: str, columns: Mapping[str, Any]) -> None:
    """Raises Invalid where the price that would stand is not whole."""
    value, per, source, on = (columns.get(name) for name in _NO_PRICE)
    faults = price_faults(kind, ListPrice(value, per, source, on))
    if value is not None and card(session).currency is None:
        faults = (*faults, no_currency())
    if faults:
        raise Invalid(faults[0].detail, faults)


def _list_hazards(session: WriteSession, row: Material, hazards: Sequence[HazardIn]) -> None:
    for each in hazards:
        limit = None if each.scl is None else nine_places(units.canonical(each.scl))
        plain_fields = each.model_dump(exclude={"scl"})
        session.add(Hazard(material=row.code, scl_percent=limit, **plain_fields))
    session.flush()  # their keys keep the order in which they were sent


def _drop_hazards(session: WriteSession, row: Material) -> None:
    for hazard in queries.hazards_of(session, [row.code])[row.code] or ():
        session.delete(hazard)


def change_material(
    session: WriteSession, code: str, patch: MaterialPatch, condition: Condition
) -> Material:
    """Raises UnknownMaterial, PreconditionNeeded, Stale."""
    row = queries.material(session, code)
    condition.meets(row)
    changes = _columns(patch, row.kind)
    if _NO_PRICE.keys() & changes.keys():
        _check_price(session, row.kind, {**row.model_dump(), **changes})
    if "hazards" in patch.model_fields_set:
        _drop_hazards(session, row)
        _list_hazards(session, row, patch.hazards or ())
    named.change(session, row, changes)
    return row


def delete_material(session: WriteSession, code: str, condition: Condition) -> MaterialOut:
    """Raises UnknownMaterial, PreconditionNeeded, Stale, InUse."""
    row = queries.material(session, code)
    condition.meets(row)
    gone = queries.shown(session, row)
    if gone.figures:
        raise InUse(f"Figures are recorded of {row.code}; archive it instead.")
    _drop_hazards(session, row)
    named.delete(session, row)
    return gone


def record_figures(
    session: WriteSession,
    subject: tuple[str, str],
    figures: Mapping[str, FigureValue],
    *,
    by: str | None,
    happened_at: datetime | None = None,
) -> list[FigureRow]:
    """Record several figures of one subject (kind, code), already read and checked."""
    entry = stamp(session, by=by, happened_at=happened_at)
    return [_record(session, subject, name, value, entry) for name, value in figures.items()]


def record_figure(session: WriteSession, subject: tuple[str, str], wanted: FigureIn) -> FigureRow:
    """Record one figure of a subject (kind, code)."""
    by = doer(session, wanted.by)
    entry = stamp(session, by=by, happened_at=wanted.happened_at)
    return _record(session, subject, wanted.property, wanted, entry)


def _check_readable(value: FigureValue, name: str) -> None:
    """Raises Invalid: which property it is, and so what fits it, is known only here."""
    try:
        value.read(name)
    except PydanticCustomError as error:
        raise refused_at(error, "#/replaces") from None


def _record(
    session: WriteSession,
    subject: tuple[str, str],
    name: str,
    value: FigureValue,
    entry: Mapping[str, Any],
) -> FigureRow:
    quantity = value.read(name)
    row = FigureRow(
        number=yearly(session, "F", session.now.year),
        subject_kind=subject[0],
        subject=subject[1],
        property=name,
        value=_as_kept(units.canonical(quantity)),
        entered_value=plain(quantity.value),
        entered_unit=quantity.unit,
        basis=value.basis,
        source=value.source,
        method=value.method,
        temperature_c=value.temperature and _as_kept(units.canonical(value.temperature)),
        dated=value.dated,
        **entry,
    )
    session.add(row)
    session.flush()  # its key is what corrections point at
    return row


def _as_kept(value: Decimal) -> Decimal:
    """As the column keeps it and will tell it, without the zeros of the ninth place."""
    return nine_places(value).normalize() + 0


def correct_figure(session: WriteSession, number: str, wanted: FigureCorrection) -> FigureRow:
    """A new entry that points at the old one. Raises UnknownFigure, AlreadyCorrected."""
    old = queries.figure_numbered(session, number)
    if (later := corrected_by(session, old)) is not None:
        raise AlreadyCorrected(f"{old.number} was corrected by {later.number}.")
    by = doer(session, wanted.by)
    entry = {
        **stamp(session, by=by, happened_at=old.happened_at),
        "corrects": old.row_id,
        "void": wanted.void,
        "reason": wanted.reason,
    }
    subject = (old.subject_kind, old.subject)
    if wanted.replaces is not None:
        _check_readable(wanted.replaces, old.property)
        return _record(session, subject, old.property, wanted.replaces, entry)
    kept = {**old.model_dump(exclude={"id"}), **entry}
    row = FigureRow(**{**kept, "number": yearly(session, "F", session.now.year)})
    session.add(row)
    session.flush()  # the answer shows it as it stands
    return row
