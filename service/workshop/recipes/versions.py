"""A version as it is shown: worked out while it is a draft, read from its frozen form after."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from service.office.documents.queries import content, latest
from service.science.ratios import shares
from service.science.rounding import decimal_of, plain, round_significant
from service.store.session import ReadSession
from service.web.fields import Amount
from service.web.footnotes import Footnotes
from service.workshop.materials.queries import names
from service.workshop.recipes import queries
from service.workshop.recipes.bodies import Frozen, LineOut, StepOut, VersionOut
from service.workshop.recipes.composition import Composition, charges_of
from service.workshop.recipes.figures import derive


def subject(row: queries.Version) -> str:
    """The subject of its frozen document."""
    return f"{row.recipe}/{row.number}"


def shown(session: ReadSession, row: queries.Version) -> VersionOut:
    """The frozen content of an approved version; a draft as it stands today."""
    document = latest(session, "recipe-version", subject(row))
    if document is None:
        return VersionOut.model_validate({**worked_out(session, row), "document": None})
    frozen = Frozen(
        kind=document.kind,
        subject=document.subject,
        revision=document.revision,
        sha256=document.sha256,
    )
    return VersionOut.model_validate({**content(document), "document": frozen})


def worked_out(session: ReadSession, row: queries.Version) -> dict[str, Any]:
    """A version with its figures and every input as they are known now, as plain JSON."""
    notes = Footnotes()
    derived = derive(Composition(session), charges_of(session, row), notes)
    found = VersionOut(
        **queries.brief(row).model_dump(),
        lines=_lines(session, row),
        steps=[_step(step) for step in queries.steps(session, row)],
        loss_cook=_percent(row.loss_cook),
        loss_strain=_percent(row.loss_strain),
        figures=derived.figures,
        undecided=derived.undecided,
        not_applicable=derived.not_applicable,
        document=None,
        notes=notes.as_json(),
    )
    return found.model_dump(mode="json", by_alias=True, exclude={"document"})


def _percent(value: Decimal | None) -> Amount | None:
    return None if value is None else Amount(value=plain(value), unit="%")


def _lines(session: ReadSession, row: queries.Version) -> list[LineOut]:
    rows = queries.lines(session, row)
    called = names(session, [line.material for line in rows])
    parts = shares([(line.basis, line.amount) for line in rows])
    return [
        LineOut(
            line=line.line,
            material=line.material,
            name=called[line.material],
            parts=plain(line.amount) if line.basis == "parts" else None,
            percent=plain(line.amount) if line.basis == "percent" else None,
            share=Amount(value=plain(round_significant(decimal_of(100 * part), 4)), unit="%"),
            stage=line.stage,
            made_by=[made.code for made in queries.recipes_of_material(session, line.material)],
        )
        for line, part in zip(rows, parts, strict=True)
    ]


def duration(seconds: int) -> Amount:
    """A time as the bench reads it: minutes where they are whole."""
    if seconds % 60:
        return Amount(value=str(seconds), unit="s")
    return Amount(value=str(seconds // 60), unit="min")


def _step(step: queries.Step) -> StepOut:
    spoken = step.do in {"strain", "note"}
    told: Mapping[str, Any] = {
        "line": step.line,
        "do": step.do,
        "to": None if step.to_c is None else Amount(value=plain(step.to_c), unit="°C"),
        "for": None if step.seconds is None else duration(step.seconds),
        "until": None if spoken else step.until,
        "text": step.until if spoken else None,
        "stage": step.stage,
    }
    return StepOut.model_validate(told)
