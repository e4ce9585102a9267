"""What changes at the equipment desk."""

from typing import Any

from service.office.equipment import queries
from service.office.equipment._tables import Equipment
from service.office.equipment.bodies import EquipmentIn, EquipmentOut, EquipmentPatch
from service.science.units import canonical
from service.store import named
from service.store.session import WriteSession
from service.web.amounts import whole
from service.web.etags import Condition

_WHOLE = {"holds": "holds_ul", "reads_to": "reads_to_mg", "capacity": "capacity_mg"}
_EXACT = {"power": "power_w", "efficiency": "efficiency"}


def _columns(body: EquipmentIn | EquipmentPatch) -> dict[str, Any]:
    sent = {name: getattr(body, name) for name in body.model_fields_set}
    return dict(_column(name, value) for name, value in sent.items())


def _column(name: str, value: Any) -> tuple[str, Any]:
    if name in _WHOLE:
        return _WHOLE[name], whole(value)
    if name in _EXACT:
        return _EXACT[name], None if value is None else canonical(value)
    return name, value


def create_equipment(session: WriteSession, wanted: EquipmentIn) -> Equipment:
    """Raises CodeTaken."""
    named.check_free(session, Equipment, wanted.code)
    row = Equipment(**_columns(wanted), created_at=session.now)
    session.add(row)
    session.flush()  # later rows of the same request may name it
    return row


def change_equipment(
    session: WriteSession, code: str, patch: EquipmentPatch, condition: Condition
) -> Equipment:
    """Raises UnknownEquipment, PreconditionNeeded, Stale."""
    row = queries.equipment(session, code)
    condition.meets(row)
    named.change(session, row, _columns(patch))
    return row


def delete_equipment(session: WriteSession, code: str, condition: Condition) -> EquipmentOut:
    """Raises UnknownEquipment, PreconditionNeeded, Stale, InUse."""
    row = queries.equipment(session, code)
    condition.meets(row)
    gone = queries.shown(row)
    named.delete(session, row)
    return gone
