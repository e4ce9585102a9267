"""What the routes answer at the bench: entries in bulk, and lines that follow what was weighed."""

from service.store.session import ReadSession
from service.web.fields import Figure
from service.workshop.batches import queries
from service.workshop.batches._tables import Weighing
from service.workshop.batches.actions.entries.bulk import Entered, Kept
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.actions.entries.retargets import Retargeted
from service.workshop.batches.bodies.bulk import EntriesMade, EntryKept
from service.workshop.batches.bodies.pages import PageCorrected, PageCorrection
from service.workshop.batches.bodies.retargets import (
    LineTarget,
    RetargetCorrectionIn,
    RetargetIn,
    RetargetMade,
)
from service.workshop.batches.queries.plan import targets
from service.workshop.batches.queries.record import pages


def entered(session: ReadSession, found: Entered) -> EntriesMade:
    desk, wanted = found.desk, found.wanted
    known = len(found.kept) - found.stored
    late = any(flag.code == "late-entry" for flag in desk.flags)
    return EntriesMade(
        batch=desk.batch.code,
        state=desk.batch.state,
        stored=found.stored,
        known=known,
        last_seq=max((row.seq for row in wanted.entries if row.seq is not None), default=None),
        entries=[_kept(one) for one in found.kept],
        clock=found.timing.shown(),
        figures=queries.shown_written(desk.figures),
        flags=desk.flags,
        open_deviations=queries.open_deviations(session, desk.batch),
        assumed=_assumed(found),
        summary=f"{found.stored} stored, {known} known of {desk.batch.code}"
        f"{', late' if late else ''}.",
    )


def _kept(one: Kept) -> EntryKept:
    last = one.entries[-1]
    return EntryKept(
        row=one.number + 1,
        seq=one.row.seq,
        kind=one.row.kind,
        entries=[row.row_id for row in one.entries],
        known=one.again,
        line=getattr(last, "line", None),
        verdict=last.verdict if isinstance(last, Weighing) else None,
    )


def _assumed(found: Entered) -> dict[str, object]:
    rows = found.wanted.entries
    timeless = sum(row.age_s is None and row.happened_at is None for row in rows)
    told: dict[str, object] = {}
    if timeless:
        of = "" if timeless == len(rows) else f", for {timeless} that say no time"
        told["happened_at"] = f"now{of}"
    if found.wanted.by is None and found.desk.by and any(row.by is None for row in rows):
        told["by"] = found.desk.by
    if found.assumed:
        told["rows"] = found.assumed
    return told


def page_corrected(
    session: ReadSession, desk: Desk, row: pages.Page, wanted: PageCorrection
) -> PageCorrected:
    shown = pages.shown(session, [row], desk.batch)[row.row_id]
    said = "its photo is taken back" if row.photo is None else f"its photo is {row.photo}"
    return PageCorrected(
        **shown.model_dump(),
        assumed={} if wanted.by or desk.by is None else {"by": desk.by},
        summary=f"Page {row.page} of {desk.batch.code}: {said}.",
    )


def retargeted(
    session: ReadSession, found: Retargeted, wanted: RetargetIn | RetargetCorrectionIn
) -> RetargetMade:
    batch, row = found.desk.batch, found.row
    shown = targets.shown(session, batch, [row])[row.row_id]
    changed = [
        LineTarget(
            line=line.line,
            material=line.material,
            planned=_grams(line.target_mg),
            was=_grams(found.before[line.line].target_mg),
            target=_grams(found.after[line.line].target_mg),
        )
        for line in queries.lines(session, batch)
        if line.do == "weigh" and found.before[line.line].mg != found.after[line.line].mg
    ]
    by = {} if wanted.by or found.desk.by is None else {"by": found.desk.by}
    moved = "1 line" if len(changed) == 1 else f"{len(changed)} lines"
    said = "voided" if row.void else f"worked out as {row.scaling}"
    return RetargetMade(
        **shown.model_dump(),
        bench_mode=batch.bench_mode,
        lines=changed,
        assumed={**found.assumed, **by},
        summary=f"A new target for {moved} of {batch.code}: {said}.",
    )


def _grams(mg: int | None) -> Figure | None:
    return None if mg is None else queries.figure(queries.grams(mg), "calculated")
