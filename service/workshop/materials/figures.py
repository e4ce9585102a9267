"""What is known of things: the newest figure of a property, of one subject or of many at once."""

import functools
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

import sqlalchemy
from sqlalchemy import and_, bindparam, or_
from sqlmodel import col, select
from sqlmodel.sql.expression import Select, SelectOfScalar

from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.materials._tables import FigureRow
from service.workshop.materials.rules import properties


class Figure(NamedTuple):
    """A figure as the sums go by it and notes tell of it: what of its row they need."""

    subject_kind: str
    subject: str
    property: str
    value: Decimal
    entered_value: str
    entered_unit: str
    basis: str
    source: str | None
    method: str | None
    temperature_c: Decimal | None
    dated: date | None
    number: str


AnyFigure = Figure | FigureRow


def figure(session: ReadSession, name: str, *subjects: tuple[str, str | None]) -> FigureRow | None:
    """What is known of a property: the newest standing figure of the first subject that has one.

    Subjects come as (kind, code) in order of preference, the lot before its material.
    """
    for kind, subject in subjects:
        if subject is not None and (found := last_figures(session, name, (kind, subject), most=1)):
            return found[0]
    return None


def last_figures(
    session: ReadSession, name: str, subject: tuple[str, str], *, most: int
) -> list[FigureRow]:
    """The newest standing figures of one property of a subject (kind, code), the newest first."""
    kind, code = subject
    asked = {"kind": kind, "subject": code, "property": name}
    return list(session.exec(_newest(most), params=asked))


def known_figures(session: ReadSession, kind: str, subject: str) -> list[FigureRow]:
    """The newest standing figure of each property of a subject, in the order of the table."""
    rows = session.exec(
        select(FigureRow)
        .where(FigureRow.subject_kind == kind, FigureRow.subject == subject, standing(FigureRow))
        .order_by(col(FigureRow.happened_at), col(FigureRow.id))
    )
    newest = {row.property: row for row in rows}
    return [newest[name] for name in properties() if name in newest]


def figures_of(
    session: ReadSession, codes: Iterable[str], lots: Mapping[str, str]
) -> dict[str, dict[str, Figure]]:
    """By material the newest standing figure of every property, in one query: those of the lot
    that `lots` names for it before its own."""
    wanted = list(dict.fromkeys(codes))
    asked = {"codes": wanted, "lots": [lots[code] for code in wanted if code in lots]}
    newest: dict[tuple[str, str], dict[str, Figure]] = {}
    session.flush()  # a figure of this very request counts too
    # Whole rows of the record would cost three times as much, and there are many.
    for row in map(Figure._make, session.connection().execute(_standing_figures(), asked)):
        newest.setdefault((row.subject_kind, row.subject), {})[row.property] = row
    return {
        code: newest.get(("material", code), {}) | newest.get(("lot", lots.get(code, "")), {})
        for code in wanted
    }


@functools.cache
def _standing_figures() -> sqlalchemy.Select[Any]:
    """The standing figures of materials and lots, the newest last."""
    kind, subject = col(FigureRow.subject_kind), col(FigureRow.subject)
    of_any = or_(
        and_(kind == "material", subject.in_(bindparam("codes", expanding=True))),
        and_(kind == "lot", subject.in_(bindparam("lots", expanding=True))),
    )
    columns = [getattr(FigureRow, name) for name in Figure._fields]
    in_order = (col(FigureRow.happened_at), col(FigureRow.id))
    return sqlalchemy.select(*columns).where(of_any, standing(FigureRow)).order_by(*in_order)


@functools.cache
def _newest(most: int) -> SelectOfScalar[FigureRow]:
    """The newest standing figures of one property of one subject."""
    return (
        select(FigureRow)
        .where(
            FigureRow.subject_kind == bindparam("kind"),
            FigureRow.subject == bindparam("subject"),
            FigureRow.property == bindparam("property"),
            standing(FigureRow),
        )
        .order_by(col(FigureRow.happened_at).desc(), col(FigureRow.id).desc())
        .limit(most)
    )


def last_values(
    session: ReadSession, name: str, kind: str, subjects: Iterable[str]
) -> dict[str, list[Decimal]]:
    """By subject of one kind the standing values of a property, the newest first, in one query."""
    found: dict[str, list[Decimal]] = {subject: [] for subject in subjects}
    asked = {"kind": kind, "subjects": list(found), "property": name}
    for subject, value in session.exec(_values(), params=asked) if found else ():
        found[subject].append(value)
    return found


@functools.cache
def _values() -> Select[str, Decimal]:
    return (
        select(col(FigureRow.subject), col(FigureRow.value))
        .where(
            FigureRow.subject_kind == bindparam("kind"),
            col(FigureRow.subject).in_(bindparam("subjects", expanding=True)),
            FigureRow.property == bindparam("property"),
            standing(FigureRow),
        )
        .order_by(col(FigureRow.happened_at).desc(), col(FigureRow.id).desc())
    )
