"""What is read at the equipment desk."""

import functools
from collections.abc import Iterable
from decimal import Decimal
from typing import Literal

from sqlalchemy import bindparam
from sqlmodel import col, select
from sqlmodel.sql.expression import SelectOfScalar

from service.errors import Invalid, at
from service.office.equipment._tables import Equipment as Equipment
from service.office.equipment.bodies import EquipmentOut
from service.office.equipment.rules import UnknownEquipment
from service.science.rounding import plain
from service.store import named
from service.store.lists import Listing
from service.store.session import ReadSession
from service.web.amounts import litres, mass
from service.web.fields import Amount

LISTING = Listing(
    "equipment",
    Equipment,
    sorts=("code", "kind", "created_at"),
    default_sort="code",
    filters={"kind": Literal["kettle", "balance", "thermometer", "logger", "cup", "other"]},
)


def equipment(session: ReadSession, code: str) -> Equipment:
    """Raises UnknownEquipment."""
    return named.get(session, Equipment, code, missing=UnknownEquipment)


def of_kind(session: ReadSession, code: str, kind: str, *, pointer: str) -> Equipment:
    """A piece named in a body. Raises Invalid where it is unknown or another kind of thing."""
    row = named.find(session, Equipment, code)
    if row is None or row.kind != kind:
        wrong = f"There is no {kind} with the code {code}."
        hint = "Add it first: POST /v1/equipment."
        raise Invalid(wrong, at(pointer, wrong, "equipment-unknown", hint=hint))
    return row


def by_codes(session: ReadSession, codes: Iterable[str]) -> dict[str, Equipment]:
    """Pieces of equipment by code, in one query."""
    rows = session.exec(select(Equipment).where(col(Equipment.code).in_(set(codes))))
    return {row.code: row for row in rows}


def in_body(session: ReadSession, code: str, *, pointer: str) -> Equipment:
    """A piece of any kind named in a body. Raises Invalid where it is unknown."""
    row = named.find(session, Equipment, code)
    if row is None:
        wrong = f"There is no piece of equipment with the code {code}."
        hint = "Add it first: POST /v1/equipment."
        raise Invalid(wrong, at(pointer, wrong, "equipment-unknown", hint=hint))
    return row


def only(session: ReadSession, kind: str) -> Equipment | None:
    """The only piece of its kind in use, or None where there are none or several."""
    found = session.exec(_two_of(), params={"kind": kind}).all()
    return found[0] if len(found) == 1 else None


@functools.cache
def _two_of() -> SelectOfScalar[Equipment]:
    in_use = (Equipment.kind == bindparam("kind"), col(Equipment.archived_at).is_(None))
    return select(Equipment).where(*in_use).limit(2)


def shown(row: Equipment) -> EquipmentOut:
    return EquipmentOut(
        code=row.code,
        kind=row.kind,
        name=row.name,
        holds=litres(row.holds_ul),
        reads_to=mass(row.reads_to_mg),
        capacity=mass(row.capacity_mg),
        power=_as_kept(row.power_w, "W"),
        efficiency=_as_kept(row.efficiency, "%"),
        calibrated_on=row.calibrated_on,
        calibrated_until=row.calibrated_until,
        created_at=row.created_at,
        archived_at=row.archived_at,
    )


def _as_kept(value: Decimal | None, unit: str) -> Amount | None:
    return None if value is None else Amount(value=plain(value), unit=unit)
