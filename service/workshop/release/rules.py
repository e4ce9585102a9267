"""What stands against a release, and the refusals of the slice: pure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.errors import Conflict, Fault, Invalid, Remedy

WAIVED = "The label on the jar was looked at and may stay as it is."


class NotReady(Conflict):
    slug = "not-ready"
    title = "Something still stands against this release"
    about = (
        "Each entry of `errors` is one thing that stands against it, with the call that concludes "
        "it (`hint`) or the change to the body that lets the release go (`remedies`). GET "
        "…/readiness lists the same; so does the release with ?dry_run=true."
    )


class NamedPersonNeeded(Invalid):
    slug = "person-needed"
    title = "Say who does this"
    about = (
        "A lot is released or rejected by a named person. Send `by`, a code of /v1/people, or use "
        "a key that belongs to a person."
    )


class AlreadyRejected(Conflict):
    slug = "already-rejected"
    title = "The lot is rejected or recalled already"
    about = "Rejected and recalled lead nowhere: what was decided stays."


@dataclass(frozen=True, slots=True)
class Obstacle:
    """One thing that stands against a release, and what concludes it."""

    code: str
    detail: str
    concluded_by: str | None
    remedy: Remedy | None = None

    def as_fault(self) -> Fault:
        ways = (self.remedy,) if self.remedy else ()
        return Fault(self.detail, self.code, hint=self.concluded_by, remedies=ways)


@dataclass(frozen=True, slots=True)
class OnJar:
    """The label on the jar: its revision, what it lacks, and where the draft now differs."""

    revision: int | None = None
    gaps: Sequence[Mapping[str, Any]] = ()
    differs: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Standing:
    """What is known of a lot that is to be released."""

    lot: str
    quality: str
    reopened: bool  # its sheet would say more or something else, so that it is released anew
    bulk: str
    bulk_quality: str
    filled: bool
    deviations: Sequence[tuple[str, str, str]] = ()  # number, subject, text
    unmeasured: Sequence[tuple[str, str]] = ()  # property, label
    ripens: Sequence[tuple[str, date, str | None]] = ()  # lot, day, the call that says another
    label: OnJar | None = None  # None for what is not sold by the jar


def obstacles(of: Standing, *, with_bulk: bool, waived: bool) -> list[Obstacle]:
    """Everything that stands against a release; hazard classes not assessed never do."""
    found = [*_quality(of), *_ripens(of), *_unmeasured(of), *_deviations(of)]
    if of.label is not None:
        found += [*_bulk(of, with_bulk), *_fill(of), *_label(of.lot, of.label, waived)]
    return found


def _quality(of: Standing) -> list[Obstacle]:
    if of.quality == "released" and not of.reopened:
        return [Obstacle("already-released", f"{of.lot} is released already.", None)]
    if of.quality in {"rejected", "recalled"}:
        return [Obstacle("not-releasable", f"{of.lot} is {of.quality}, for good.", None)]
    return []


def _ripens(of: Standing) -> list[Obstacle]:
    """What still matures is not released before its day, unless its maturing says another."""
    return [
        Obstacle("not-ripe", f"{lot} matures until {day}.", call) for lot, day, call in of.ripens
    ]


def _unmeasured(of: Standing) -> list[Obstacle]:
    """What its material asks to be measured before a received lot is released."""
    return [
        Obstacle(
            "reading-missing",
            f"{label} ({name}) of {of.lot} was not measured yet; its material asks for it.",
            f"POST /v1/lots/{of.lot}/readings",
        )
        for name, label in of.unmeasured
    ]


def _deviations(of: Standing) -> list[Obstacle]:
    return [
        Obstacle(
            "deviation-open",
            f"{number} of {subject} is open: {text}",
            f"POST /v1/deviations/{number}/conclusions",
        )
        for number, subject, text in of.deviations
    ]


def _bulk(of: Standing, with_bulk: bool) -> list[Obstacle]:
    if of.bulk_quality == "released":
        return []
    said = f"{of.bulk}, from which it was filled, is not released."
    if of.bulk_quality != "quarantine":
        return [Obstacle("bulk-not-releasable", f"{of.bulk} is {of.bulk_quality}.", None)]
    if with_bulk:
        return []
    way = Remedy(f"{of.bulk} is released in the same act", {"with_bulk": True})
    return [Obstacle("bulk-not-released", said, f"POST /v1/lots/{of.bulk}/releases", way)]


def _fill(of: Standing) -> list[Obstacle]:
    if of.filled:
        return []
    return [Obstacle("fill-unknown", f"No fill of {of.lot}, and so no check of it.", None)]


def _label(lot: str, label: OnJar, waived: bool) -> list[Obstacle]:
    call = f"POST /v1/lots/{lot}/labels"
    found = [Obstacle("label-undecided", gap["detail"], gap["concluded_by"]) for gap in label.gaps]
    if label.revision is None:
        return [Obstacle("label-not-frozen", f"No label of {lot} is frozen.", call), *found]
    if label.differs and not waived:
        where = ", ".join(label.differs)
        wrong = f"Label {label.revision} no longer says what the draft says: {where}."
        way = Remedy("the label on the jar may stay as it is", {"waiver": WAIVED})
        then = f"{call}, and POST /v1/lots/{lot}/labellings once it is on the jars"
        found.append(Obstacle("label-differs", wrong, then, way))
    return found
