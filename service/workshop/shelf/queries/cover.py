"""How far stock goes: what a batch of each recipe takes, by past batches, by a plan, or by the
lines of the version."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction
from statistics import median

from sqlalchemy import func
from sqlmodel import col, select

from service.office.workshop_card.queries import today
from service.science.errors import ScienceError
from service.store.records import standing
from service.store.session import ReadSession
from service.workshop.batches import queries as batches
from service.workshop.recipes import queries as recipes
from service.workshop.recipes.inside.composition import Composition
from service.workshop.shelf.bodies.shortages import Basis
from service.workshop.shelf.rules import RATE_DAYS

LAST = 5  # batches that the usual amounts are taken from
LOOKED_AT = 500  # completed batches, the newest
A_KILOGRAM_MG = 1_000_000


@dataclass(frozen=True, slots=True)
class _Done:
    """A batch that was completed, and what it took by material."""

    batch: batches.Batch
    takes: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Usage:
    """What one batch of a version takes (mg, by material) and makes, and how that is known."""

    recipe: str
    version: int
    takes: Mapping[str, int]
    makes_mg: int
    basis: Basis
    how: str
    made: int  # batches of the recipe in the last time


@dataclass(frozen=True, slots=True)
class Usages:
    """What is used by the recipes in use; `undecided` by material the versions not worked out."""

    known: Sequence[Usage]
    undecided: Mapping[str, Sequence[str]]
    made_by: Mapping[str, str]


def usages(session: ReadSession) -> Usages:
    """Of every recipe in use with an approved version."""
    rows = _in_force(session)
    past, planned = _past(session), _planned(session)
    counts = _made_lately(session)
    of = Composition(session)
    known: list[Usage] = []
    undecided: dict[str, list[str]] = {}
    for recipe, version in rows:
        key, made = (recipe.code, version.number), counts.get(recipe.code, 0)
        if key in past:
            known.append(_by_past(*key, past[key], made=made))
        elif key in planned:
            known.append(_by_plan(session, planned[key], made=made))
        elif (found := _by_version(of, version, made=made)) is not None:
            known.append(found)
        else:
            for code in dict.fromkeys(line.material for line in recipes.lines(session, version)):
                undecided.setdefault(code, []).append(f"{recipe.code}, version {version.number}")
    return Usages(known, undecided, {recipe.makes: recipe.code for recipe, _ in rows})


def _in_force(session: ReadSession) -> list[tuple[recipes.Recipe, recipes.Version]]:
    """The recipes in use, each with its newest approved version."""
    rows = session.exec(
        select(recipes.Recipe, recipes.Version)
        .where(
            recipes.Version.recipe == recipes.Recipe.code,
            recipes.Version.state == "approved",
            col(recipes.Recipe.archived_at).is_(None),
        )
        .order_by(col(recipes.Recipe.code), col(recipes.Version.number))
    )
    newest = {recipe.code: (recipe, version) for recipe, version in rows}
    return list(newest.values())


def _past(session: ReadSession) -> dict[tuple[str, int], list[_Done]]:
    """By recipe and version the last batches that were completed with what they took."""
    rows = session.exec(
        select(batches.Batch)
        .where(batches.Batch.state == "complete")
        .order_by(col(batches.Batch.id).desc())
        .limit(LOOKED_AT)
    )
    found: dict[tuple[str, int], list[batches.Batch]] = {}
    for row in rows:
        known = found.setdefault((row.recipe, row.version), [])
        if len(known) < LAST:
            known.append(row)
    taken = _taken(session, [row for rows in found.values() for row in rows])
    done = {
        key: [_Done(row, taken[row.row_id]) for row in rows if taken[row.row_id]]
        for key, rows in found.items()
    }
    return {key: rows for key, rows in done.items() if rows}


def _taken(session: ReadSession, rows: Sequence[batches.Batch]) -> dict[int, dict[str, int]]:
    """By batch what stands as weighed in of each material, in one query."""
    found: dict[int, dict[str, int]] = {row.row_id: {} for row in rows}
    weighed = select(batches.Weighing).where(
        col(batches.Weighing.batch).in_(found), standing(batches.Weighing)
    )
    for entry in session.exec(weighed):
        of = found[entry.batch]
        of[entry.material] = of.get(entry.material, 0) + entry.amount_mg
    return found


def _by_past(recipe: str, version: int, rows: Sequence[_Done], *, made: int) -> Usage:
    """The median of what the last batches took; one that took nothing of a material counts so."""
    codes = dict.fromkeys(code for row in rows for code in row.takes)
    takes = {code: int(median(row.takes.get(code, 0) for row in rows)) for code in codes}
    makes = int(median(row.batch.target_mg for row in rows))
    last = f"the last {len(rows)} batches" if len(rows) > 1 else f"batch {rows[0].batch.code}"
    how = f"the median of {last}" if len(rows) > 1 else f"as {last} took it"
    return Usage(recipe, version, takes, makes, "past batches", how, made)


def _planned(session: ReadSession) -> dict[tuple[str, int], batches.Batch]:
    """By recipe and version the newest batch under way."""
    rows = session.exec(
        select(batches.Batch)
        .where(col(batches.Batch.state).in_(batches.UNDER_WAY))
        .order_by(col(batches.Batch.id))
    )
    return {(row.recipe, row.version): row for row in rows}


def _by_plan(session: ReadSession, row: batches.Batch, *, made: int) -> Usage:
    takes: dict[str, int] = {}
    for line in batches.lines(session, row):
        if line.material is not None and line.target_mg:
            takes[line.material] = takes.get(line.material, 0) + line.target_mg
    how = f"as {row.code} is planned"
    return Usage(row.recipe, row.version, takes, row.target_mg, "planned batch", how, made)


def _by_version(of: Composition, version: recipes.Version, *, made: int) -> Usage | None:
    """For a kilogram of what comes out; None where a line waits for a value, or where by today's
    figures it could not be made."""
    try:
        charges = of.work(version).charges
    except ScienceError:
        return None
    if not charges:
        return None
    shares: dict[str, Fraction] = {}
    for line in charges:
        shares[line.material] = shares.get(line.material, Fraction(0)) + line.charged
    takes = {code: round(share * A_KILOGRAM_MG) for code, share in shares.items()}
    how = "for a kilogram of what comes out, by the lines of the version"
    return Usage(version.recipe, version.number, takes, A_KILOGRAM_MG, "version", how, made)


def _made_lately(session: ReadSession) -> dict[str, int]:
    """How many batches of each recipe were completed in the last time, by the day planned."""
    since = today(session) - timedelta(days=RATE_DAYS)
    rows = session.exec(
        select(batches.Batch.recipe, func.count())
        .where(batches.Batch.state == "complete", batches.Batch.planned_on >= since)
        .group_by(col(batches.Batch.recipe))
    )
    return dict(rows.all())
