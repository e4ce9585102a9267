"""What was seen: notes to the batch, and entries at lines that are not weighed."""

from service.workshop.batches._tables import BatchNote, StepEntry
from service.workshop.batches.actions.entries.desk import Desk
from service.workshop.batches.actions.entries.late import judge


def keep_note(desk: Desk, text: str) -> BatchNote:
    row = BatchNote(batch=desk.batch.row_id, text=text, page=desk.page, **desk.stamp())
    desk.session.add(row)
    desk.session.flush()  # the answer shows its key
    judge(desk, row)
    return row


def keep_step(desk: Desk, line: int, saw: str) -> StepEntry:
    row = StepEntry(batch=desk.batch.row_id, line=line, saw=saw, page=desk.page, **desk.stamp())
    desk.session.add(row)
    desk.session.flush()  # an entry that comes late is named by its key
    judge(desk, row)
    return row
