"""A comparison of two versions, of one recipe or of two: what was asked, and all of the answer."""

import re

from service.errors import Fault, Invalid
from service.store.session import ReadSession
from service.web.footnotes import Footnotes
from service.workshop.recipes import queries as recipes
from service.workshop.recipes.bodies import VersionOut
from service.workshop.recipes.queries import Version
from service.workshop.recipes.written import versions
from service.workshop.release.comparisons import figures, results, written
from service.workshop.release.comparisons.bodies import ComparedVersion, ComparisonOut, LotMadeOut
from service.workshop.release.comparisons.results import Made, made_by

_NAMED = re.compile(r"([A-Za-z0-9-]{2,20})/([1-9][0-9]{0,4})", re.ASCII)
_SEND = 'Send the code of a recipe and the number of a version: "SPAR/2".'
_RECKONED = (
    "Both by what is known today, so that they differ by what is written alone; the frozen form "
    "of an approved version may say otherwise."
)


def compare(session: ReadSession, left: str, right: str) -> ComparisonOut:
    """Raises Invalid, UnknownRecipe, UnknownVersion."""
    rows = [
        recipes.version(session, *_named(text, side))
        for side, text in (("left", left), ("right", right))
    ]
    if rows[0].row_id == rows[1].row_id:
        raise _twice(session, rows[0])
    return _compared(session, rows[0], rows[1])


def _named(text: str, side: str) -> tuple[str, int]:
    found = _NAMED.fullmatch(text.strip())
    if found is None:
        wrong = f"{text[:40]!r} names no version."
        raise Invalid(wrong, (Fault(wrong, "bad-version", parameter=side, hint=_SEND),))
    return found[1], int(found[2])


def _twice(session: ReadSession, row: Version) -> Invalid:
    others = [one.number for one in recipes.versions(session, row.recipe) if one is not row]
    there = ", ".join(f"{row.recipe}/{number}" for number in others)
    wrong = f"{row.recipe}/{row.number} is on both sides."
    hint = f"Its other versions: {there}." if others else "Name a version of another recipe."
    return Invalid(wrong, (Fault(wrong, "same-version", parameter="right", hint=hint),))


def _compared(session: ReadSession, left: Version, right: Version) -> ComparisonOut:
    before, after = (_worked_out(session, row) for row in (left, right))
    made = made_by(session, left), made_by(session, right)
    seen = results.results(session, *made)
    notes = Footnotes()
    return ComparisonOut(
        left=_version(session, left, made[0]),
        right=_version(session, right, made[1]),
        reckoned=_RECKONED,
        lines=written.lines(before, after),
        steps=written.steps(before, after),
        stages=written.stages(before, after),
        losses=figures.losses(before, after),
        figures=figures.figures(before, after, notes),
        composition=figures.composition(before, after),
        tests=results.tests(seen),
        measurements=results.measurements(seen),
        notes=notes.as_json(),
    )


def _worked_out(session: ReadSession, row: Version) -> VersionOut:
    now = versions.worked_out(session, row)
    return VersionOut.model_validate({**now, "document": None, "recalculated": None})


def _version(session: ReadSession, row: Version, made: Made) -> ComparedVersion:
    return ComparedVersion(
        **recipes.brief(row).model_dump(),
        makes=recipes.recipe(session, row.recipe).makes,
        lots=[
            LotMadeOut.model_validate({"lot": lot.number, "kind": lot.kind, "made_on": lot.made_on})
            for lot in made.lots
        ],
        lots_left_out=made.left_out,
    )
