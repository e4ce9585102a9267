"""What the routes answer to an entry: the fact as kept, what was assumed, what was flagged."""

from collections.abc import Sequence
from typing import Any

from service.office.attachments.queries import attached
from service.store.session import ReadSession
from service.web.fields import Figure
from service.workshop.batches import queries
from service.workshop.batches._tables import BatchLine, BatchNote, CookPoint, Transition, Yield
from service.workshop.batches.actions.amending.lines import Corrected
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.actions.entries.live import Live
from service.workshop.batches.actions.entries.weighings import Weighed
from service.workshop.batches.actions.pages.whole import Entered, assumed, summary, yield_text
from service.workshop.batches.actions.plan.planning import Planned
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
from service.workshop.batches.bodies.readings import BatchFigureIn, BatchFigureMade
from service.workshop.batches.queries.plan.targets import aim, moved
from service.workshop.batches.rules import yield_percent
from service.workshop.materials.queries import FigureRow, shown_figure
from service.workshop.stock.queries import Lot

_FEW = 50
Timed = WeighingIn | NoteIn | YieldIn | TransitionIn | CookPointsIn


def _assumed(desk: Desk, wanted: Timed) -> dict[str, object]:
    found: dict[str, object] = {}
    if wanted.by is None and desk.by is not None:
        found["by"] = desk.by
    if wanted.happened_at is None and getattr(wanted, "age_s", None) is None:
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
        flags=found.flags,
    )


def _target(session: ReadSession, desk: Desk, line: BatchLine | None) -> Figure | None:
    aimed = None if line is None else aim(session, desk.batch, line).target_mg
    return None if aimed is None else queries.figure(queries.grams(aimed), "calculated")


def weighed(session: ReadSession, live: Live[list[Weighed]], wanted: WeighingIn) -> WeighingMade:
    """The entry that bears the verdict, and all of them where they are several."""
    desk, found = live.desk, live.kept[-1]
    every = queries.shown_weighings(session, [one.row for one in live.kept])
    shown = every[found.row.row_id]
    verdict = f", {shown.verdict}" if shown.verdict != "none" else ""
    return WeighingMade(
        **shown.model_dump(),
        target=_target(session, desk, found.line),
        moved=moved(session, desk.batch),
        split=list(every.values()) if len(every) > 1 else [],
        clock=live.clock,
        state=desk.batch.state,
        figures=queries.shown_written(desk.figures),
        flags=desk.flags,
        assumed=_of_all(live.kept) | _assumed(desk, wanted),
        summary=f"{_once(live)}{_mass(live.kept)} of {shown.material}{verdict}.",
    )


def _of_all(kept: Sequence[Weighed]) -> dict[str, object]:
    """What was filled in, of all parts of a weighing."""
    return {name: value for one in kept for name, value in one.assumed.items()}


def _mass(kept: Sequence[Weighed]) -> str:
    """What went in, with its digits where it is one entry."""
    if len(kept) == 1:
        return f"{kept[0].row.entered_value} {kept[0].row.entered_unit}"
    whole = queries.grams(sum(one.row.amount_mg for one in kept))
    return f"{whole.value} {whole.unit} from {len(kept)} lots"


def _once(live: Live[Any]) -> str:
    return "Known already: " if live.again else ""


def noted(session: ReadSession, live: Live[BatchNote], wanted: NoteIn) -> NoteMade:
    shown = queries.shown_note(session, live.kept, live.desk.batch)
    return NoteMade(
        **shown.model_dump(),
        clock=live.clock,
        flags=live.desk.flags,
        assumed=_assumed(live.desk, wanted),
        summary=f"{_once(live)}Noted to {shown.batch}.",
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


def measured(desk: Desk, row: FigureRow, wanted: BatchFigureIn) -> BatchFigureMade:
    shown = shown_figure(desk.session, row)
    after = f" after {wanted.stage}" if wanted.stage else ""
    return BatchFigureMade(
        **shown.model_dump(),
        assumed={} if wanted.by or row.by is None else {"by": row.by},
        summary=f"{shown.label} of {row.subject}{after}: {row.entered_value} {row.entered_unit}.",
        flags=desk.flags,
    )


def yielded(desk: Desk, row: Yield, wanted: YieldIn) -> YieldMade:
    return YieldMade(
        batch=desk.batch.code,
        yield_=queries.as_entered(row.entered_value, row.entered_unit),
        theory=queries.kilograms(row.theory_mg, "calculated"),
        of_theory=queries.percent(yield_percent(row.amount_mg, row.theory_mg)),
        balance=row.balance,
        by=row.by,
        checked_by=row.checked_by,
        happened_at=row.happened_at,
        flags=desk.flags,
        assumed={
            **_assumed(desk, wanted),
            **({"balance": row.balance} if row.balance and not wanted.balance else {}),
        },
        summary=f"{desk.batch.code}: {yield_text(row)}.",
    )


def shifted(
    session: ReadSession, desk: Desk, row: Transition, lot: Lot | None, wanted: TransitionIn
) -> TransitionMade:
    made = f", lot {lot.number} made" if lot else ""
    return TransitionMade(
        entry=row.row_id,
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
        photo=attached(session, found.wanted.photo),
        lines=[_page_line(session, found.desk, one) for one in found.weighed],
        assumed=assumed(found),
        figures=queries.shown_written(found.desk.figures),
        flags=found.desk.flags,
        open_deviations=queries.open_deviations(session, batch),
    )


def _page_line(session: ReadSession, desk: Desk, one: Weighed) -> PageLine:
    return PageLine(
        line=one.row.line,
        material=one.row.material,
        lot=one.lot.number,
        weighed=queries.as_entered(one.row.entered_value, one.row.entered_unit),
        target=_target(session, desk, one.line),
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
