"""Which approved versions make materials, read level by level with one query for each level."""

import functools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from sqlalchemy import bindparam, or_
from sqlmodel import col, select
from sqlmodel.sql.expression import Select, SelectOfScalar

from service.store.session import ReadSession
from service.workshop.recipes.inside.working import Rows
from service.workshop.recipes.queries import Line, Loss, Recipe, StageRow, Version
from service.workshop.recipes.rules import default_version


@dataclass(slots=True)
class _Level:
    """The versions that could make the materials of one level, by material and recipe."""

    versions: dict[str, dict[str, dict[int, Version]]] = field(default_factory=dict)
    lines: dict[int, list[Line]] = field(default_factory=dict)

    def chosen(self, material: str, pinned: int | None) -> Version | None:
        """Of the first recipe that has it the version meant: the pinned or the default one."""
        for by_number in self.versions.get(material, {}).values():
            number = pinned or default_version({n: row.state for n, row in by_number.items()})
            if number in by_number:
                return by_number[number]
        return None


def origins(
    session: ReadSession, materials: Iterable[str], pinned: Mapping[str, int]
) -> dict[str, Rows | None]:
    """By material the version that makes it, also of everything in that version; None for what is
    not made by an approved one. `pinned` names other versions by material."""
    found: dict[str, Rows | None] = {}
    wanted = set(materials)
    while wanted:
        level = _read(session, wanted, pinned)
        for material in sorted(wanted):
            version = level.chosen(material, pinned.get(material))
            lines = level.lines[version.row_id] if version else []
            found[material] = Rows(version, lines, [], [], {}) if version else None
        inside = {line.material for rows in found.values() if rows for line in rows.lines}
        wanted = inside - found.keys()
    return _with_work(session, found)


def _read(session: ReadSession, materials: Iterable[str], pinned: Mapping[str, int]) -> _Level:
    asked = {"materials": sorted(materials), "pinned": sorted(set(pinned.values()))}
    level = _Level()
    for makes, version, line in session.exec(_makers(), params=asked):
        by_recipe = level.versions.setdefault(makes, {})
        by_recipe.setdefault(version.recipe, {})[version.number] = version
        level.lines.setdefault(version.row_id, []).append(line)
    return level


@functools.cache
def _makers() -> Select[str, Version, Line]:
    number, state = col(Version.number), col(Version.state)
    return (
        select(Recipe.makes, Version, Line)
        .where(
            Version.recipe == Recipe.code,
            Line.version == Version.id,
            col(Recipe.makes).in_(bindparam("materials", expanding=True)),
            col(Recipe.archived_at).is_(None),
            or_(state == "approved", number.in_(bindparam("pinned", expanding=True))),
        )
        .order_by(col(Recipe.code), number, col(Line.line))
    )


def _with_work(session: ReadSession, found: Mapping[str, Rows | None]) -> dict[str, Rows | None]:
    """The same with their stages and declared losses, in two queries."""
    ids = {rows.version.row_id for rows in found.values() if rows}
    if not ids:
        return dict(found)
    asked = {"ids": sorted(ids)}
    in_order = list(session.exec(_stages(), params=asked))
    lost = list(session.exec(_losses(), params=asked))
    return {material: rows and _filled(rows, in_order, lost) for material, rows in found.items()}


@functools.cache
def _stages() -> SelectOfScalar[StageRow]:
    inside = col(StageRow.version).in_(bindparam("ids", expanding=True))
    return select(StageRow).where(inside).order_by(col(StageRow.position))


@functools.cache
def _losses() -> SelectOfScalar[Loss]:
    inside = col(Loss.version).in_(bindparam("ids", expanding=True))
    return select(Loss).where(inside).order_by(col(Loss.id))


def _filled(rows: Rows, stages: Sequence[StageRow], losses: Sequence[Loss]) -> Rows:
    own = rows.version.row_id
    return replace(
        rows,
        stages=[stage for stage in stages if stage.version == own],
        losses=[loss for loss in losses if loss.version == own],
    )
