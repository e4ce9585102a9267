"""The preview of a batch sheet set for the press: pages to take to the bench."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from service.press import html
from service.press.blocks import (
    Block,
    Caution,
    Document,
    Fact,
    Facts,
    Heading,
    Link,
    Note,
    Paragraph,
    Task,
    Worksheet,
)
from service.web.fields import Amount, Figure
from service.workshop.scalings.bodies.sheet import (
    ScalingSheetLine,
    ScalingSheetOut,
    ScalingSheetStage,
)

_PREVIEW = (
    "A preview of one charge, to look at or to try at the bench. The sheet of a batch has the "
    "page to send back, with the same numbers on its lines."
)
_DRAFT = "Draft: to look at, never to make a batch from"
_AS_SAID = "as the recipe says"  # of a fixed mass (science.formulation): no news on paper
_DIGEST_SHOWN = 16
_OTHER = {"a4": "letter", "letter": "a4"}
_PAPER = {"a4": "A4", "letter": "US letter"}


def page(sheet: ScalingSheetOut, paper: html.Paper) -> bytes:
    """The sheet as HTML for a size of paper; the same sheet gives the same bytes."""
    return html.render(document(sheet, paper), paper=paper)


def document(sheet: ScalingSheetOut, paper: html.Paper) -> Document:
    """The sheet as the press takes it."""
    path = f"/v1/recipes/{sheet.recipe}/scalings/{sheet.scaling}/sheet"
    other = _OTHER[paper]
    facts = _facts(sheet)
    marks = dict.fromkeys(fact.note for fact in facts.rows if fact.note)
    return Document(
        title=sheet.title,
        subtitle=f"Preview of the batch sheet · {sheet.for_}",
        language="en",
        blocks=(
            facts,
            Paragraph(_PREVIEW),
            *_before(sheet),
            *(_stage(sheet, stage) for stage in sheet.steps),
            *_at_the_end(sheet),
        ),
        notice=_DRAFT if sheet.draft else None,
        links=(
            Link("JSON", f"{path}?form=json"),
            Link(_PAPER[other], f"{path}?form=html&paper={other}"),
        ),
        footnotes=tuple(_note(sheet, mark) for mark in marks),
        digest=f"{sheet.scaling} · sha256 {sheet.sha256[:_DIGEST_SHOWN]}",
    )


def _note(sheet: ScalingSheetOut, mark: str) -> Note:
    note = sheet.notes[mark]
    told = note.get("how") or note.get("table") or note.get("source") or ""
    return Note(mark, note["basis"], told, note.get("valid", ""))


def _facts(sheet: ScalingSheetOut) -> Facts:
    version = f"{sheet.recipe}, version {sheet.version}{', a draft' if sheet.draft else ''}"
    rows = [
        _figure("Comes out", sheet.makes.mass),
        *([_figure("Volume", sheet.makes.volume)] if sheet.makes.volume else []),
        *_kettle(sheet),
        Fact("Balance", sheet.balance or "not named"),
        Fact("Tolerance", sheet.tolerance),
        Fact("Recipe", f"{version}, by the scaling {sheet.scaling}"),
    ]
    return Facts(tuple(rows))


def _figure(label: str, found: Figure) -> Fact:
    return Fact(label, Decimal(found.value), found.unit, found.basis, found.note)


def _kettle(sheet: ScalingSheetOut) -> Iterator[Fact]:
    kettle = sheet.kettle
    if kettle is None:
        return
    holds = f", holds {kettle.holds}" if kettle.holds else ""
    yield Fact("Kettle", kettle.equipment + holds)
    lacks = f" without {', '.join(kettle.missing)}" if kettle.missing else ""
    for label, found in (("Filled cold", kettle.cold), ("Filled hot", kettle.hot)):
        yield _figure(label, found) if found else Fact(label, f"not known{lacks}")
    if kettle.at_most:
        yield _figure("Filled at most", kettle.at_most)


def _stage(sheet: ScalingSheetOut, stage: ScalingSheetStage) -> Worksheet:
    lasts = f", {_spelled(stage.for_)}" if stage.for_ else ""
    remark = f": {stage.remark}" if stage.remark else ""
    cautions = [*stage.cautions, *stage.folded_cautions]
    return Worksheet(
        heading=f"{stage.stage.capitalize()}{lasts}{remark}",
        tasks=tuple(_task(sheet, line) for line in stage.lines),
        cautions=tuple(Caution(row.text, row.rule) for row in cautions),
    )


def _task(sheet: ScalingSheetOut, line: ScalingSheetLine) -> Task:
    """A line, and in small letters where its figures come from, as their footnotes say."""
    task = _TASKS[line.do](line)
    found = [each for each in (line.target, line.to, line.time) if each is not None and each.note]
    told = (_from(each, sheet.notes[each.note or ""]) for each in found)
    return replace(task, detail="; ".join(part for part in (task.detail, *told) if part))


def _from(found: Figure, note: dict[str, Any]) -> str:
    """What stands behind a figure, with the figures that it was worked out from."""
    told = note.get("how") or note.get("table") or note.get("source") or note["basis"]
    inputs = ", ".join(
        f"{row['name']} {row['value']} {row['unit']}" for row in note.get("from", ())
    )
    return f"{_said(found)} {found.basis}: {told}{f' ({inputs})' if inputs else ''}"


def _said(size: Amount | None) -> str:
    return f"{size.value} {size.unit}" if size else ""


def _spelled(time: Amount) -> str:
    return f"{time.value} {_unit(time)}"


def _unit(time: Amount) -> str:
    """Weeks are a word, not a symbol."""
    return "weeks" if time.unit == "week" and time.value != "1" else time.unit


def _code(line: ScalingSheetLine) -> str:
    return "" if line.what == line.name else line.what or ""


def _weigh(line: ScalingSheetLine) -> Task:
    condition = f": {line.condition}" if line.condition else ""
    if line.target is None:
        return Task(
            number=str(line.line),
            text=f"{line.name}, as much as it needs{condition}",
            unit="g",
            lots=tuple(f"{row.lot} ({_said(row.left)} left)" for row in line.others or ()),
            detail=_code(line),
        )
    how = "" if line.how == _AS_SAID else line.how
    short = f"{_said(line.short)} short: no open lot holds it" if line.short else ""
    return Task(
        number=str(line.line),
        text=f"{line.name}{condition}",
        target=Decimal(line.target.value),
        unit=line.target.unit,
        tolerance=f"± {_said(line.allow)}" if line.allow else "",
        lots=tuple(f"{row.lot} {_said(row.take)}" for row in line.from_ or ()),
        detail="; ".join(part for part in (_code(line), how, short) if part),
    )


def _heat(line: ScalingSheetLine) -> Task:
    what = "Heat" if line.do == "heat" else "Cool"
    if line.to is None:
        return Task(str(line.line), what, detail=f"Undecided: {line.undecided}", unit="°C")
    told = (
        f"{_said(line.ramp)}" if line.ramp else "",
        f"about {_said(line.time)} by the {_by(line.time)}" if line.time else "",
    )
    return Task(
        number=str(line.line),
        text=f"{what}{_until(line)}",
        target=Decimal(line.to.value),
        unit=line.to.unit,
        detail="; ".join(part for part in told if part),
    )


def _by(time: Figure) -> str:
    return "ramp" if (time.note or "").startswith("ramp") else "power of the kettle"


def _until(line: ScalingSheetLine) -> str:
    return f", until {line.until}" if line.until else ""


def _hold(line: ScalingSheetLine) -> Task:
    what = "Hold" if line.do == "hold" else "Wait"
    if line.for_ is None:
        return Task(str(line.line), f"{what}{_until(line)}")
    return Task(str(line.line), f"{what}{_until(line)}", Decimal(line.for_.value), _unit(line.for_))


def _words(line: ScalingSheetLine) -> Task:
    what = {"check": "Check", "strain": "Strain", "note": "Note"}[line.do]
    return Task(str(line.line), f"{what}: {line.text}" if line.text else what)


def _result(line: ScalingSheetLine) -> Task:
    target = line.target
    return Task(
        str(line.line),
        "Weigh what came out",
        Decimal(target.value) if target else None,
        target.unit if target else "g",
    )


_TASKS: dict[str, Callable[[ScalingSheetLine], Task]] = {
    "weigh": _weigh,
    "heat": _heat,
    "cool": _heat,
    "hold": _hold,
    "wait": _hold,
    "check": _words,
    "strain": _words,
    "note": _words,
    "yield": _result,
}


def _before(sheet: ScalingSheetOut) -> Iterator[Block]:
    """What is of no use any more once the work has begun."""
    yield from _listed("To look at before the work", _flags(sheet))
    yield from _listed("To make first", _to_make(sheet))


def _at_the_end(sheet: ScalingSheetOut) -> Iterator[Block]:
    yield from _listed("To buy or to make", _shopping(sheet))
    yield from _listed("What called for each caution", _rules(sheet.steps))
    yield Paragraph(f"{sheet.scaling}, sha256 {sheet.sha256}")


def _listed(heading: str, rows: Sequence[tuple[str, str]]) -> Iterator[Block]:
    """As sentences: beside long ones a column of short words is set too narrow for its heading."""
    if rows:
        yield Heading(heading)
        yield from (Paragraph(f"{first}: {told}") for first, told in rows)


def _flags(sheet: ScalingSheetOut) -> list[tuple[str, str]]:
    return [(f"Line {flag.line}" if flag.line else "All lines", flag.text) for flag in sheet.flags]


def _to_make(sheet: ScalingSheetOut) -> list[tuple[str, str]]:
    return [
        (
            row.material,
            f"{_said(row.amount)} for {row.for_}, by {row.recipe}, version {row.version}: "
            + ", ".join(f"{_said(each.amount)} {each.material}" for each in row.lines),
        )
        for row in sheet.to_make
    ]


def _shopping(sheet: ScalingSheetOut) -> list[tuple[str, str]]:
    return [
        (
            row.material,
            (str(row.amount) if isinstance(row.amount, int) else _said(row.amount))
            + (f", made by {row.made_by}" if row.made_by else ""),
        )
        for row in sheet.shopping
    ]


def _rules(stages: Sequence[ScalingSheetStage]) -> list[tuple[str, str]]:
    return [
        (row.rule, f"{stage.stage}{f', line {row.line}' if row.line else ''}: {row.why}")
        for stage in stages
        for row in (*stage.cautions, *stage.folded_cautions)
    ]
