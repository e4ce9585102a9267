"""What the routes answer to a stage that was begun, gone on with or corrected."""

from typing import Any

from service.store.session import ReadSession
from service.workshop.batches import queries
from service.workshop.batches.actions.stages.stages import Working
from service.workshop.batches.bodies.stages import (
    StageCorrection,
    StageEntryCorrected,
    StageEntryCorrection,
    StageEntryIn,
    StageIn,
    StageMade,
    StageOut,
)

_Sent = StageIn | StageEntryIn | StageCorrection | StageEntryCorrection


def _assumed(working: Working, wanted: _Sent) -> dict[str, Any]:
    found: dict[str, Any] = dict(working.assumed)
    if wanted.by is None and working.desk.by is not None:
        found["by"] = working.desk.by
    for name in ("started_at", "happened_at"):
        if getattr(wanted, name, working) is None:
            found[name] = "now"
    return found


def _told(shown: StageOut) -> str:
    """A stage in one line."""
    parts = [f"Stage {shown.number} of {shown.batch}, {shown.stage}: {shown.state}"]
    if shown.weigh_ins:
        last = shown.weigh_ins[-1].weighed
        parts.append(f"weighed {last.value} {last.unit}")
    parts += [f"{each.part} {each.weighed.value} {each.weighed.unit}" for each in shown.out]
    if shown.ready_on is not None:
        parts.append(f"ready on {shown.ready_on}")
    return f"{', '.join(parts)}."


def worked(session: ReadSession, working: Working, wanted: _Sent) -> StageMade:
    shown = _shown(session, working)
    return StageMade(
        **shown.model_dump(),
        flags=working.desk.flags,
        assumed=_assumed(working, wanted),
        summary=_told(shown),
    )


def entry_corrected(
    session: ReadSession, working: Working, row: queries.StageEntry, wanted: StageEntryCorrection
) -> StageEntryCorrected:
    made = worked(session, working, wanted)
    return StageEntryCorrected(**made.model_dump(), corrected=row.row_id)


def _shown(session: ReadSession, working: Working) -> StageOut:
    """The stage as it stands; of a voided one what was voided."""
    batch = working.desk.batch
    if working.row.void:
        return queries.shown_void(session, batch, working.row)
    return queries.shown_stages(session, batch)[working.row.number]
