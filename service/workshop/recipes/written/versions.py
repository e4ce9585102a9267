"""A version as it is shown: worked out while it is a draft, read from its frozen form after."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.office.attachments.queries import attached
from service.office.documents.queries import Document, content, latest
from service.office.workshop_card.queries import today
from service.science.errors import ScienceError
from service.store.session import ReadSession
from service.web.fields import Amount
from service.web.footnotes import Footnotes
from service.workshop.recipes import queries
from service.workshop.recipes.bodies import VersionOut
from service.workshop.recipes.bodies.contents import LeftOut, PortionOut
from service.workshop.recipes.bodies.versions import Frozen, Recalculated, Recalculation
from service.workshop.recipes.figures import Derived, derive, underived
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.contents import missing
from service.workshop.recipes.inside.whole import composition, losses
from service.workshop.recipes.rules import Charge
from service.workshop.recipes.written import parts as version_parts

# What a version says of itself: in forms frozen before it could be said, it is read from its rows.
_STATED = ("stages", "labour", "proved", "as_written")

_WORKED_OUT = ("losses", "composition", "remarks")


def subject(row: queries.Version) -> str:
    """The subject of its frozen document."""
    return f"{row.recipe}/{row.number}"


def shown(session: ReadSession, row: queries.Version) -> VersionOut:
    """The frozen content of an approved version, and what of it comes out differently today; a
    draft as it stands today."""
    document = latest(session, "recipe-version", subject(row))
    now = worked_out(session, row)
    if document is None:
        return VersionOut.model_validate({**now, "document": None, "recalculated": None})
    held = _frozen(document, now)
    more = {
        "document": Frozen(
            kind=document.kind,
            subject=document.subject,
            revision=document.revision,
            sha256=document.sha256,
        ),
        "recalculated": _recalculated(session, held, now),
        "photo": now["photo"],
    }
    # That it was retired was not known when it was frozen.
    return VersionOut.model_validate({**held, **queries.brief(row).model_dump(), **more})


def worked_out(session: ReadSession, row: queries.Version) -> dict[str, Any]:
    """A version with its figures and every input as they are known now, as plain JSON."""
    notes = Footnotes()
    work = _work(session, row, notes)
    declared = queries.losses(session, row)
    found = VersionOut(
        **queries.brief(row).model_dump(),
        lines=version_parts.lines(session, queries.lines(session, row), work.charges),
        steps=[version_parts.step(step) for step in queries.steps(session, row)],
        stages=version_parts.stages(queries.stages(session, row), declared),
        loss_cook=version_parts.all_told(declared, "cook"),
        loss_strain=version_parts.all_told(declared, "strain"),
        as_written=row.as_written,
        photo=attached(session, row.photo),
        labour=version_parts.labour(row),
        proved=[version_parts.band(band) for band in queries.proved_bands(session, row)],
        losses=list(work.losses),
        composition=list(work.composition),
        remarks=list(work.remarks),
        figures=work.derived.figures,
        undecided=work.derived.undecided,
        not_applicable=work.derived.not_applicable,
        document=None,
        recalculated=None,
        notes=notes.as_json(),
    )
    return found.model_dump(mode="json", by_alias=True, exclude={"document", "recalculated"})


def waits_for(session: ReadSession, row: queries.Version) -> list[str]:
    """The values without which a derived line of a version cannot be worked out; the certificate
    of a lot may bring them."""
    lacking = Composition(session).work(row).lacking
    return missing(lacking.missing) if lacking else []


@dataclass(frozen=True, slots=True)
class _Work:
    """What follows from the lines; no charges where they could not be worked through."""

    derived: Derived
    charges: Sequence[Charge]
    composition: Sequence[PortionOut]
    losses: Sequence[LeftOut]
    remarks: Sequence[str] = ()


def _work(session: ReadSession, row: queries.Version, notes: Footnotes) -> _Work:
    of = Composition(session)
    try:
        done = of.work(row)
    except ScienceError as error:  # what became known since it was drafted may forbid it
        return _Work(underived(notes, [str(error)]), (), [], [])
    derived = derive(of, done.charges, notes, work=done)
    said = done.done.notes if done.done else ()
    return _Work(derived, done.charges, composition(of, done, derived), losses(done), said)


def _frozen(document: Document, now: Mapping[str, Any]) -> dict[str, Any]:
    """The frozen content, with what forms of an older kind do not say yet."""
    held = content(document)
    stated = {
        **{name: now[name] for name in _STATED},
        "losses": [],
        "composition": [],
        "remarks": [],
    }
    parts = {
        name: [{**new, **old} for new, old in zip(now[name], held[name], strict=True)]
        for name in ("lines", "steps")
    }
    return {**stated, **held, **parts}


def _recalculated(
    session: ReadSession, held: Mapping[str, Any], now: Mapping[str, Any]
) -> Recalculation | None:
    """The figures that are others than when they were frozen, or None."""
    before, after = (_told(held), _told(now))
    changed = [
        Recalculated(
            name=name,
            label=(after.get(name) or before[name])["label"],
            was=_value(before.get(name)),
            now=_value(after.get(name)),
        )
        for name in {**before, **after}
        if _value(before.get(name)) != _value(after.get(name))
    ]
    if not changed:
        return None
    return Recalculation(on=today(session).isoformat(), figures=changed)


def _told(each: Mapping[str, Any]) -> dict[str, Mapping[str, Any]]:
    """What can come out differently, by name: the figures, what is in it, and what leaves."""
    inside = {
        f"composition/{one['component']}": {**one["share"], "label": f"{one['name']}, in the can"}
        for one in each["composition"]
    }
    leaving = {
        f"losses/{one['stage']}/{one['cause']}": {
            **one["share"],
            "label": f"{one['cause']} lost in {one['stage']}",
        }
        for one in each["losses"]
    }
    return {**{one["name"]: one for one in each["figures"]}, **inside, **leaving}


def _value(figure: Mapping[str, Any] | None) -> Amount | None:
    return None if figure is None else Amount(value=figure["value"], unit=figure["unit"])
