"""A new draft: its lines and stages checked, then written as rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from service.errors import Fault, Invalid, Remedy, at
from service.office.people.queries import doer
from service.science.errors import ScienceError
from service.store.session import WriteSession
from service.web.amounts import whole
from service.workshop.materials.queries import by_codes
from service.workshop.recipes import queries
from service.workshop.recipes._tables import Recipe, Version
from service.workshop.recipes.actions.nesting import check_nesting
from service.workshop.recipes.actions.parts import PlannedStage, seconds, write_parts
from service.workshop.recipes.bodies import VersionIn
from service.workshop.recipes.bodies.amounts import as_kept
from service.workshop.recipes.bodies.lines import LineIn
from service.workshop.recipes.bodies.stages import StageIn
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.rules import line_problem
from service.workshop.recipes.written.work_order import (
    SHORT,
    in_usual_order,
    later_than,
    short_cause,
    with_stages,
)

_DEFAULT_STAGE = "cook"


@dataclass(frozen=True, slots=True)
class _Origin:
    """The number of a version, and of the one it came from."""

    number: int
    came_from: int | None


def create_version(
    session: WriteSession, code: str, wanted: VersionIn
) -> tuple[Version, dict[str, Any]]:
    """A new draft, and what was assumed. Raises UnknownRecipe, Invalid, ContainsItself, TooDeep."""
    recipe = queries.recipe(session, code)
    _check_materials(session, wanted)
    _check_proved(wanted)
    check_nesting(session, recipe.makes, [line.material for line in wanted.lines])
    stages = _stages(wanted)
    _check_order(wanted.lines, [stage.stage for stage in stages])
    row = _version(session, recipe, wanted)
    session.add(row)
    session.flush()  # lines, steps and stages point at it
    write_parts(session, row, wanted, stages)
    if (error := impossible(session, row)) is not None:
        raise _refused(error)
    return row, _assumed(row, wanted, stages)


def _version(session: WriteSession, recipe: Recipe, wanted: VersionIn) -> Version:
    origin = _origin(session, recipe.code, wanted)
    labour = wanted.labour
    return Version(
        recipe=recipe.code,
        number=origin.number,
        state="draft",
        created_at=session.now,
        created_by=doer(session, wanted.by),
        came_from=origin.came_from,
        why=wanted.why,
        as_written=wanted.as_written,
        reconstructed=_reconstructed(wanted),
        labour_seconds=seconds(labour.time) if labour else None,
        labour_for_mg=whole(labour.for_) if labour else None,
        remark=wanted.remark,
        photo=wanted.photo,
    )


def _reconstructed(wanted: VersionIn) -> bool:
    if wanted.reconstructed is None:
        return wanted.as_written is not None
    return wanted.reconstructed


def _origin(session: WriteSession, code: str, wanted: VersionIn) -> _Origin:
    """Raises Invalid for a later version without its reason, or an origin that is not there."""
    known = [version.number for version in queries.versions(session, code)]
    if wanted.came_from is not None and wanted.came_from not in known:
        wrong = f"{code} has no version {wanted.came_from}."
        hint = f"It has {', '.join(map(str, known))}." if known else "Leave it out: this is first."
        raise Invalid(wrong, at("#/came_from", wrong, "version-unknown", hint=hint))
    if known and wanted.why is None:
        wrong = f"Version {max(known) + 1} does not say why it is made."
        hint = 'Say what is changed and why in `why`: "softer in winter".'
        raise Invalid(wrong, at("#/why", wrong, "why-missing", hint=hint))
    newest = max(known, default=None)
    return _Origin((newest or 0) + 1, wanted.came_from or newest)


def _assumed(row: Version, wanted: VersionIn, stages: Sequence[PlannedStage]) -> dict[str, Any]:
    assumed: dict[str, Any] = {"by": row.created_by} if wanted.by is None else {}
    placed = [line.stage for line in wanted.lines]
    placed += [step.stage for step in wanted.steps if step.do != "strain"]
    if None in placed:
        assumed["stage"] = _DEFAULT_STAGE
    if wanted.stages is None:
        assumed["stages"] = [stage.stage for stage in stages]
    if wanted.came_from is None and row.came_from is not None:
        assumed["came_from"] = row.came_from
    if wanted.reconstructed is None and row.reconstructed:
        assumed["reconstructed"] = True
    derived = {n: line.derive for n, line in enumerate(wanted.lines, 1) if line.derive}
    for number, rule in derived.items():
        for name, value in rule.assumes.items():
            if getattr(rule, name) is None:
                assumed.setdefault("derive", {}).setdefault(str(number), {})[name] = value
    return assumed


def _check_materials(session: WriteSession, wanted: VersionIn) -> None:
    """Raises Invalid naming every line that cannot be weighed in."""
    known = by_codes(session, [line.material for line in wanted.lines])
    faults = []
    for place, line in enumerate(wanted.lines):
        pointer = f"#/lines/{place}/material"
        found = known.get(line.material)
        if found is None:
            hint = "Make it first: POST /v1/materials, or look at its spelling."
            text = f"There is no material {line.material}."
            faults.append(Fault(text, "material-unknown", pointer, hint=hint))
        elif found.archived_at is not None:
            text = f"{found.code} is archived."
            hint = (
                f'Take it back into use: PATCH /v1/materials/{found.code}, {{"archived": false}}.'
            )
            faults.append(Fault(text, "material-archived", pointer, hint=hint))
        elif wrong := line_problem(found.kind):
            text = f"{found.code} cannot be an ingredient: {wrong}."
            faults.append(Fault(text, "not-an-ingredient", pointer))
    if faults:
        raise Invalid(faults[0].detail, tuple(faults))


def _check_proved(wanted: VersionIn) -> None:
    """Raises Invalid for a band of what is no line."""
    materials = {line.material for line in wanted.lines}
    for place, band in enumerate(wanted.proved):
        if band.material not in materials:
            wrong = f"{band.material} is no line of this version."
            hint = f"Name one of: {', '.join(sorted(materials))}."
            pointer = f"#/proved/{place}/material"
            raise Invalid(wrong, at(pointer, wrong, "not-a-line", hint=hint))


def _stages(wanted: VersionIn) -> list[PlannedStage]:
    """The stages in the order of the work, with their losses. Raises Invalid."""
    short = _short(wanted)
    used = {line.stage or _DEFAULT_STAGE for line in wanted.lines}
    used |= {step.own_stage for step in wanted.steps} | set(short)
    if wanted.stages is None:
        return [PlannedStage(stage, None, short.get(stage, {})) for stage in in_usual_order(used)]
    listed = [stage.stage for stage in wanted.stages]
    for place, stage in enumerate(listed):
        if stage in listed[:place]:
            wrong = f"The stage {stage} stands here twice."
            pointer = f"#/stages/{place}/stage"
            raise Invalid(wrong, at(pointer, wrong, "stage-twice", hint="List it once."))
    if missing := in_usual_order(used - set(listed)):
        raise _missing(wanted, missing)
    return [
        PlannedStage(sent.stage, sent, short.get(sent.stage) or _percents(sent))
        for sent in wanted.stages
    ]


def _percents(stage: StageIn) -> dict[str, Decimal]:
    return {cause: as_kept(loss) for cause, loss in stage.losses.items()}


def _short(wanted: VersionIn) -> dict[str, dict[str, Decimal]]:
    """The losses sent in short, by stage. Raises Invalid for a stage that has both forms."""
    found: dict[str, dict[str, Decimal]] = {}
    long = {stage.stage for stage in wanted.stages or () if stage.losses}
    for field in SHORT:
        if (loss := getattr(wanted, field)) is None:
            continue
        percent = as_kept(loss)
        stage, cause = short_cause(field, percent)
        if stage in long:
            wrong = f"The losses of {stage} are sent twice: in `{field}` and in `stages`."
            way = Remedy("the stage's own losses hold", {field: None})
            raise Invalid(wrong, at(f"#/{field}", wrong, "loss-twice", remedies=(way,)))
        found[stage] = {cause: percent}
    return found


def _missing(wanted: VersionIn, missing: Sequence[str]) -> Invalid:
    """The refusal of a list without a stage that is used, with the whole list as its remedy."""
    sent: dict[str, Any] = {stage.stage: stage.as_sent() for stage in wanted.stages or ()}
    order = with_stages(list(sent), missing)
    names = ", ".join(missing)
    wrong = f"The stages do not list {names}, which lines, steps or losses stand in."
    way = Remedy(
        "it is done where it usually is",
        {"stages": [sent.get(stage, {"stage": stage}) for stage in order]},
    )
    return Invalid(wrong, at("#/stages", wrong, "stage-missing", remedies=(way,)))


def _check_order(lines: Sequence[LineIn], order: Sequence[str]) -> None:
    """Raises Invalid for a rule that looks at what is not in the pot yet."""
    stages = {n: line.stage or _DEFAULT_STAGE for n, line in enumerate(lines, 1)}
    for number, line in enumerate(lines, 1):
        of = line.derive.looks_at if line.derive else []
        looked_at = {each: stages[each] for each in of}
        for late in later_than(number, stages[number], of=looked_at, order=order):
            wrong = f"Line {late} goes in after line {number}, which looks at it."
            hint = "Let it stand before, in the same stage or an earlier one."
            pointer = f"#/lines/{number - 1}/derive/of/{of.index(late)}"
            raise Invalid(wrong, at(pointer, wrong, "line-later", hint=hint))


def impossible(session: WriteSession, row: Version) -> ScienceError | None:
    """Why a version cannot be made by what is known today, or None."""
    try:
        Composition(session).work(row)
    except ScienceError as error:
        return error
    return None


def _refused(error: ScienceError) -> Invalid:
    """A refusal of the sums at its place in the body; they count the lines from one."""
    where, _, rest = error.field.partition("/")
    number = rest.partition("/")[0]
    pointer = "#/stages" if where == "stages" else "#/lines"
    if where == "lines" and number.isdigit():
        pointer = f"#/lines/{int(number) - 1}"
    detail = error.message[:1].upper() + error.message[1:] + "."
    hint = error.hint[:1].upper() + error.hint[1:] + "."
    return Invalid(detail, at(pointer, detail, error.code, hint=hint))
