"""Whole tables in one transaction: all rows or none."""

import functools
import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from importlib.resources import files
from typing import Any, TypeVar

from pydantic import TypeAdapter

from service.errors import CodeTaken, Fault, Refused
from service.exchange.bodies import Imported, Loaded, Table
from service.office.equipment.actions import create_equipment
from service.office.equipment.bodies import EquipmentIn
from service.office.people.actions import create_person
from service.office.people.bodies import PersonIn
from service.store.session import WriteSession
from service.workshop.materials.actions import create_material
from service.workshop.materials.bodies import MaterialIn
from service.workshop.panels.actions.protocols import create_protocol, create_scale
from service.workshop.panels.bodies.protocols import ProtocolIn, RatingScaleIn

T = TypeVar("T", PersonIn, EquipmentIn, MaterialIn)
_KINDS: dict[str, tuple[Any, Callable[[WriteSession, Any], Any]]] = {
    "materials": (MaterialIn, create_material),
    "scales": (RatingScaleIn, create_scale),
    "protocols": (ProtocolIn, create_protocol),
}
# Protocols rate on scales, so scales come first whatever the order that was sent.
_ORDER: Sequence[Table] = ("materials", "scales", "protocols")


@functools.cache
def starters(table: str) -> list[Any]:
    """The starter rows of a table, checked like anything that is sent."""
    text = files("service.exchange").joinpath("starters", f"{table}.json").read_text("utf-8")
    read = TypeAdapter(_KINDS[table][0])
    return [read.validate_python(row) for row in json.loads(text)]


def load_starters(session: WriteSession, tables: Sequence[Table]) -> Loaded:
    """Make what is not there yet; a code that stands already is left as it is."""
    made: dict[str, list[str]] = {}
    kept: dict[str, list[str]] = {}
    for table in (table for table in _ORDER if table in tables):
        create = _KINDS[table][1]
        for row in starters(table):
            try:
                create(session, row)
                made.setdefault(table, []).append(row.code)
            except CodeTaken:
                kept.setdefault(table, []).append(row.code)
    count = sum(len(codes) for codes in made.values())
    summary = f"{count} starters made; {sum(map(len, kept.values()))} stood already."
    return Loaded(made=made, kept=kept, assumed={}, summary=summary)


@contextmanager
def _row(number: int) -> Iterator[None]:
    """Point a refusal of one row into the array that was sent."""
    try:
        yield
    except Refused as refused:
        refused.faults = tuple(_moved(fault, number) for fault in refused.faults)
        raise


def _moved(fault: Fault, number: int) -> Fault:
    pointer = (fault.pointer or "#").removeprefix("#")
    return replace(fault, pointer=f"#/{number}{pointer}")


def import_rows(
    session: WriteSession, rows: Sequence[T], create: Callable[[WriteSession, T], Any]
) -> Imported:
    """Make every row. Raises the refusal of the first row that cannot be made."""
    for number, row in enumerate(rows):
        with _row(number):
            create(session, row)
    codes = [row.code for row in rows]
    return Imported(made=codes, assumed={}, summary=f"{len(codes)} made: {', '.join(codes[:12])}.")


def import_people(session: WriteSession, rows: Sequence[PersonIn]) -> Imported:
    return import_rows(session, rows, create_person)


def import_equipment(session: WriteSession, rows: Sequence[EquipmentIn]) -> Imported:
    return import_rows(session, rows, create_equipment)


def import_materials(session: WriteSession, rows: Sequence[MaterialIn]) -> Imported:
    return import_rows(session, rows, create_material)
