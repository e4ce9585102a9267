"""What was seen: notes to the batch, and entries at lines that are not weighed."""

from service.store.session import WriteSession
from service.workshop.batches._tables import BatchNote, StepEntry
from service.workshop.batches.actions.desk import Desk, open_desk
from service.workshop.batches.bodies.entries import NoteIn


def add_note(session: WriteSession, code: str, wanted: NoteIn) -> tuple[Desk, BatchNote]:
    """A note for itself. Raises UnknownBatch, Invalid."""
    desk = open_desk(session, code, by=wanted.by, happened_at=wanted.happened_at)
    return desk, keep_note(desk, wanted.text)


def keep_note(desk: Desk, text: str) -> BatchNote:
    row = BatchNote(batch=desk.batch.row_id, text=text, page=desk.page, **desk.stamp())
    desk.session.add(row)
    desk.session.flush()  # the answer shows its key
    return row


def keep_step(desk: Desk, line: int, saw: str) -> StepEntry:
    row = StepEntry(batch=desk.batch.row_id, line=line, saw=saw, page=desk.page, **desk.stamp())
    desk.session.add(row)
    return row
