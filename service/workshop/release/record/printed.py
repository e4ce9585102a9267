"""A batch record set for the press: a page to print, and a PDF to file away."""

from collections.abc import Iterator
from datetime import UTC, datetime

from service.press import html
from service.press.blocks import Block, Caution, Document, Fact, Facts, Heading, Link, Table
from service.press.html import Paper
from service.workshop.release.record.bodies import BatchRecordOut, RecordItem
from service.workshop.release.record.cells import grouped, told_when
from service.workshop.release.record.sections import SECTIONS

_STATE = {True: " · as it stands now, not frozen", False: ""}
_STANDS = {"yes": "stands", "no": "missing", "not yet": "not yet"}


def page(record: BatchRecordOut) -> bytes:
    """The record as HTML; the same record gives the same bytes."""
    return html.render(document(record))


def pdf(record: BatchRecordOut, paper: Paper) -> bytes:
    """The record as PDF; the same record gives the same bytes."""
    from service.press.pdf import render  # slow to import, and few ask for it

    return render(document(record), paper=paper)


def document(record: BatchRecordOut) -> Document:
    """The record as the press takes it."""
    path = f"/v1/batches/{record.batch}/record"
    own = path if record.draft else f"{path}/revisions/{record.revision}"
    blocks: list[Block] = [_facts(record), _overview(record)]
    for item in record.items:
        blocks += _item(item)
    return Document(
        title=f"Batch record {record.batch}",
        subtitle=f"{record.recipe}, version {record.version} · {record.for_}{_STATE[record.draft]}",
        language="en",
        blocks=tuple(blocks),
        links=(
            Link("JSON", f"{own}?form=json"),
            Link("PDF", f"{own}.pdf"),
            *(
                Link(f"revision {number}", f"{path}/revisions/{number}?form=html")
                for number in record.frozen
                if number != record.revision
            ),
        ),
        digest=_digest(record),
    )


def _digest(record: BatchRecordOut) -> str:
    if record.sha256 is None:
        return "as it stands now, not frozen"
    return f"revision {record.revision} · sha256 {record.sha256[:16]}"


def _facts(record: BatchRecordOut) -> Facts:
    packs = ", ".join(f"{one.count} of {one.pack} ({one.lot})" for one in record.filled)
    told = {
        "Workshop": record.workshop,
        "Made": record.material,
        "Lot": record.lot,
        "State": record.state,
        "Kettle": record.kettle,
        "Planned for": record.planned_on.isoformat(),
        "Begun (UTC)": _when(record.begun_at, record.begun_about),
        "Ended (UTC)": _when(record.ended_at, record.ended_about),
        "Filled": packs,
        "Frozen (UTC)": _when(record.frozen_at),
        "SHA-256": grouped(record.sha256),
    }
    return Facts(tuple(Fact(label, text) for label, text in told.items() if text))


def _when(at: datetime | None, about: str | None = None) -> str:
    return "" if at is None else told_when({"at": at.astimezone(UTC).isoformat(), "about": about})


def _overview(record: BatchRecordOut) -> Table:
    rows = tuple((one.item, one.title, _STANDS[one.stands]) for one in record.items)
    return Table(("Item", "What", "Stands"), rows)


def _item(item: RecordItem) -> Iterator[Block]:
    yield Heading(f"{item.item} {item.title}")
    for lack in item.lacks:
        yield Caution(f"{'Not yet' if item.stands == 'not yet' else 'Missing'}: {_in_words(lack)}")
    yield from SECTIONS[item.item](item.data)


def _in_words(lack: str) -> str:
    """What is lacking without the call that enters it, which serves nobody on paper."""
    said, call, _ = lack.partition(": POST /")
    said, other, _ = said.partition(": PATCH /")
    return f"{said}." if call or other else lack
