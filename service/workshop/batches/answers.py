"""What the routes answer to an entry: the fact as kept, what was assumed, what was flagged."""

from collections.abc import Sequence

from service.store.session import ReadSession
from service.web.fields import Figure
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchLine, BatchNote, CookPoint, Transition, Yield
from service.workshop.batches.actions.corrections import Corrected
from service.workshop.batches.actions.desk import Desk
from service.workshop.batches.actions.pages import Entered, assumed, summary, yield_text
from service.workshop.batches.actions.planning import Planned
from service.workshop.batches.actions.weighings import Weighed
from service.workshop.batches.bodies.cook_log import CookPointsIn, CookPointsMade
from service.workshop.batches.bodies.entries import (
    LineCorrected,
    LineCorrectionIn,
    NoteIn,
    NoteMade,
    TransitionIn,
    TransitionMade,
    WeighingIn,
    WeighingMade,
    YieldIn,
    YieldMade,
)
from service.workshop.batches.bodies.pages import PageLine, PageMade
from service.workshop.batches.bodies.plans import BatchMade
from service.workshop.batches.bodies.readings import BatchFigureIn
from service.workshop.batches.rules import yield_percent
from service.workshop.materials.bodies import FigureMade
from service.workshop.materials.queries import FigureRow, shown_figure
from service.workshop.stock.queries import Lot

_FEW = 50
Timed = WeighingIn | NoteIn | YieldIn | TransitionIn | CookPointsIn


def _assumed(desk: Desk, wanted: Timed) -> dict[str, object]:
    found: dict[str, object] = {}
    if wanted.by is None and desk.by is not None:
        found["by"] = desk.by
    if wanted.happened_at is None:
        found["happened_at"] = "now"
    return found


def planned(session: ReadSession, found: Planned) -> BatchMade:
    shown = queries.shown(session, found.batch)
    return BatchMade(
        **shown.model_dump(),
        assumed=found.assumed,
        summary=f"{shown.batch} planned: {shown.target.value} {shown.target.unit} of "
        f"{shown.material}, {shown.for_}.",
        cautions=found.cautions,
        undecided=found.undecided,
    )


def _target(line: BatchLine | None) -> Figure | None:
    if line is None or line.target_mg is None:
        return None
    return queries.figure(queries.grams(line.target_mg), "calculated")


def weighed(session: ReadSession, desk: Desk, found: Weighed, wanted: WeighingIn) -> WeighingMade:
    shown = queries.shown_weighings(session, [found.row])[found.row.row_id]
    verdict = f", {shown.verdict}" if shown.verdict != "none" else ""
    return WeighingMade(
        **shown.model_dump(),
        target=_target(found.line),
        state=desk.batch.state,
        figures=queries.shown_written(desk.figures),
        flags=desk.flags,
        assumed={**found.assumed, **_assumed(desk, wanted)},
        summary=f"{shown.weighed.value} {shown.weighed.unit} of {shown.material}{verdict}.",
    )


def noted(desk: Desk, row: BatchNote, wanted: NoteIn) -> NoteMade:
    shown = queries.shown_note(row, desk.batch)
    return NoteMade(
        **shown.model_dump(), assumed=_assumed(desk, wanted), summary=f"Noted to {shown.batch}."
    )


def logged(
    session: ReadSession, desk: Desk, rows: Sequence[CookPoint], wanted: CookPointsIn
) -> CookPointsMade:
    few = rows[:_FEW]
    shown = queries.shown_points(session, few)
    return CookPointsMade(
        batch=desk.batch.code,
        stored=len(rows),
        points=[shown[row.row_id] for row in few],
        assumed=_assumed(desk, wanted),
        summary=f"{len(rows)} cook point{'' if len(rows) == 1 else 's'} of {desk.batch.code}.",
    )


def measured(session: ReadSession, row: FigureRow, wanted: BatchFigureIn) -> FigureMade:
    shown = shown_figure(session, row)
    after = f" after {wanted.stage}" if wanted.stage else ""
    return FigureMade(
        **shown.model_dump(),
        assumed={} if wanted.by or row.by is None else {"by": row.by},
        summary=f"{shown.label} of {row.subject}{after}: {row.entered_value} {row.entered_unit}.",
    )


def yielded(desk: Desk, row: Yield, wanted: YieldIn) -> YieldMade:
    return YieldMade(
        batch=desk.batch.code,
        yield_=queries.as_entered(row.entered_value, row.entered_unit),
        theory=queries.kilograms(row.theory_mg, "calculated"),
        of_theory=queries.percent(yield_percent(row.amount_mg, row.theory_mg)),
        by=row.by,
        happened_at=row.happened_at,
        assumed=_assumed(desk, wanted),
        summary=f"{desk.batch.code}: {yield_text(row)}.",
    )


def shifted(
    session: ReadSession, desk: Desk, row: Transition, lot: Lot | None, wanted: TransitionIn
) -> TransitionMade:
    made = f", lot {lot.number} made" if lot else ""
    return TransitionMade(
        batch=desk.batch.code,
        from_=row.from_state,
        to=row.to_state,
        lot=lot.number if lot else None,
        figures=queries.shown_written(desk.figures),
        flags=desk.flags,
        open_deviations=queries.open_deviations(session, desk.batch),
        happened_at=row.happened_at,
        assumed=_assumed(desk, wanted),
        summary=f"{desk.batch.code} is {row.to_state}{made}.",
    )


def page(session: ReadSession, found: Entered) -> PageMade:
    batch = found.desk.batch
    return PageMade(
        batch=batch.code,
        page=queries.next_page(session, batch) - 1,
        summary=summary(found, len(found.wanted.cook)),
        state=batch.state,
        lot=found.lot.number if found.lot else None,
        lines=[_page_line(one) for one in found.weighed],
        assumed=assumed(found),
        figures=queries.shown_written(found.desk.figures),
        flags=found.desk.flags,
        open_deviations=queries.open_deviations(session, batch),
    )


def _page_line(one: Weighed) -> PageLine:
    return PageLine(
        line=one.row.line,
        material=one.row.material,
        lot=one.lot.number,
        weighed=queries.as_entered(one.row.entered_value, one.row.entered_unit),
        target=_target(one.line),
        verdict=one.row.verdict,
    )


def corrected(found: Corrected, number: int, wanted: LineCorrectionIn) -> LineCorrected:
    desk = found.desk
    said = "voided" if wanted.void else f"now {found.now}"
    return LineCorrected(
        batch=desk.batch.code,
        line=number,
        entry=found.new.row_id,
        corrects=found.old.row_id,
        was=found.was,
        now=found.now,
        void=wanted.void,
        reason=wanted.reason,
        figures=queries.shown_written(desk.figures),
        flags=desk.flags,
        assumed={"by": desk.by} if wanted.by is None and desk.by else {},
        summary=f"Line {number} of {desk.batch.code}: {found.was}, {said}.",
    )
