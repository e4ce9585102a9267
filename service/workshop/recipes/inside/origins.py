"""Which approved versions make materials, read level by level with one query for each level."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from sqlalchemy import or_
from sqlmodel import col, select

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
    number, state = col(Version.number), col(Version.state)
    rows = session.exec(
        select(Recipe, Version, Line)
        .where(
            Version.recipe == Recipe.code,
            Line.version == Version.id,
            col(Recipe.makes).in_(set(materials)),
            col(Recipe.archived_at).is_(None),
            or_(state == "approved", number.in_(set(pinned.values()))),
        )
        .order_by(col(Recipe.code), number, col(Line.line))
    )
    level = _Level()
    for recipe, version, line in rows:
        by_recipe = level.versions.setdefault(recipe.makes, {})
        by_recipe.setdefault(recipe.code, {})[version.number] = version
        level.lines.setdefault(version.row_id, []).append(line)
    return level


def _with_work(session: ReadSession, found: Mapping[str, Rows | None]) -> dict[str, Rows | None]:
    """The same with their stages and declared losses, in two queries."""
    ids = {rows.version.row_id for rows in found.values() if rows}
    if not ids:
        return dict(found)
    stages = select(StageRow).where(col(StageRow.version).in_(ids)).order_by(col(StageRow.position))
    losses = select(Loss).where(col(Loss.version).in_(ids)).order_by(col(Loss.id))
    in_order, lost = list(session.exec(stages)), list(session.exec(losses))
    return {material: rows and _filled(rows, in_order, lost) for material, rows in found.items()}


def _filled(rows: Rows, stages: Sequence[StageRow], losses: Sequence[Loss]) -> Rows:
    own = rows.version.row_id
    return replace(
        rows,
        stages=[stage for stage in stages if stage.version == own],
        losses=[loss for loss in losses if loss.version == own],
    )
