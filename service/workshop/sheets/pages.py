"""Sheets and look-ups set as documents for the press: page, print and spreadsheet alike."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from service.press.blocks import (
    Block,
    Caution,
    Choice,
    Choices,
    Document,
    Fact,
    Facts,
    Form,
    Heading,
    Link,
    Note,
    Observations,
    Paragraph,
    Seen,
)
from service.press.text import day, words
from service.workshop.panels.rules.sentences import counted
from service.workshop.sheets.rules import ADDRESS, Status

LANGUAGE = "en"
_LOOK_UP = Form("/l", "Number on your jar", "number", "Show")
_UNITLESS = "1"
_AS_WEIGHED = "By falling mass, as it was weighed in."


def sheet_document(content: Mapping[str, Any], status: Status) -> Document:
    """A frozen sheet under its present status."""
    url = ADDRESS + content["url"]
    blocks = [
        _facts(content, status),
        *_seen(content),
        *_constants(content),
        *_contents(content),
        *_use(content),
    ]
    return Document(
        title=content["name"],
        subtitle=f"Lot {content['lot']} · {content['net']}",
        language=LANGUAGE,
        blocks=tuple(blocks),
        notice=status.notice,
        links=(
            Link("JSON", f"{content['url']}.json"),
            Link("CSV", f"{content['url']}.csv"),
            Link("frozen bytes", f"{content['url']}/r/{content['revision']}.json"),
        ),
        footnotes=tuple(_note(name, note) for name, note in content["notes"].items()),
        json_ld=_json_ld(content, url),
        canonical_url=url,
    )


def _facts(content: Mapping[str, Any], status: Status) -> Facts:
    known = {
        "Lot": content["lot"],
        "Made": _day(content["made_on"]),
        "Filled": _day(content["filled_on"]),
        "Contents of the jar": content["net"],
        "Best before": _month(content["best_before"]),
        "Once opened": content["after_opening"] and f"{content['after_opening']} at most",
        "Standing": status.text,
        "Revision": f"{content['revision']}, published {_day(content['published_on'])}",
    }
    return Facts(tuple(Fact(label, value) for label, value in known.items() if value))


def _day(iso: str | None) -> str | None:
    return day(date.fromisoformat(iso), LANGUAGE) if iso else None


def _month(iso: str | None) -> str | None:
    if not iso:
        return None
    year, month = iso.split("-")
    return f"{words(LANGUAGE).months[int(month) - 1]} {year}"


def _seen(content: Mapping[str, Any]) -> Iterable[Block]:
    yield Heading("What we put on it and what we saw")
    yield Paragraph(content["age"])
    if content["saw"]:
        yield Observations(tuple(Seen(line["text"], line["note"]) for line in content["saw"]))
        yield Heading("What we did not try")
    yield Observations((Seen(content["not_tried"]["text"]),))


def _constants(content: Mapping[str, Any]) -> Iterable[Block]:
    if content["constants"]:
        yield Heading("Figures")
        yield Facts(tuple(_constant(figure) for figure in content["constants"]))


def _constant(figure: Mapping[str, Any]) -> Fact:
    unit = "" if figure["unit"] == _UNITLESS else figure["unit"]
    return Fact(
        figure["label"],
        _number(figure["value"]),
        unit=unit,
        basis=figure["basis"],
        note=figure["note"],
    )


def _number(text: str) -> Decimal | str:
    try:
        return Decimal(text)
    except InvalidOperation:
        return text


def _contents(content: Mapping[str, Any]) -> Iterable[Block]:
    if not content["contents"]:
        return
    yield Heading("What went into it")
    facts = (Fact(part["name"], part["share"] or "") for part in content["contents"])
    if any(part["share"] for part in content["contents"]):
        yield Paragraph(_AS_WEIGHED)
        yield Facts(tuple(facts))
    else:
        # Semicolons, as on the label: names of solvents have commas of their own.
        names = "; ".join(part["name"] for part in content["contents"])
        yield Paragraph(f"{names}. {_AS_WEIGHED}")


def _use(content: Mapping[str, Any]) -> Iterable[Block]:
    if content["directions"]:
        yield Heading("How to use it")
        yield Paragraph(content["directions"])
    for text in content["hazards"]["cautions"]:
        yield Caution(text)
    yield Paragraph("Read the label on the jar before you open it.", emphasis=True)


def _on(note: Mapping[str, Any]) -> str:
    return f"on {day(date.fromisoformat(note['on']), LANGUAGE)}"


def _note(name: str, note: Mapping[str, Any]) -> Note:
    if note["basis"] == "calculated":
        return Note(name, "calculated", note["how"], f"batch {note['batch']}")
    if "panel" in note:
        told = [f"panel {note['panel']}, lot {note['lot']}"]
        told += [counted(note["coats"], "coat")] if note.get("coats") else []
        told += [f"{note['age']} old"] if "age" in note else []
        told += [f"film {note['film']}"] if "film" in note else []
        told += [f"room {note['room']}"] if "room" in note else []
        return Note(name, "measured", note["method"], "; ".join([*told, _on(note)]))
    told = [f"lot {note['lot']}", _on(note), ", ".join(note["readings"])]
    if note["n"] > 1:
        told.insert(0, f"{note['n']} trials, {note['low']} to {note['high']}")
    return Note(name, "measured", note["method"], "; ".join(told))


def _json_ld(content: Mapping[str, Any], url: str) -> dict[str, Any]:
    """The sheet in the words of schema.org, which has none for a lot number."""
    properties = [{"@type": "PropertyValue", "name": "lot number", "value": content["lot"]}]
    properties += [
        {
            "@type": "PropertyValue",
            "name": figure["label"],
            "value": figure["value"],
            **({} if figure["unit"] == _UNITLESS else {"unitText": figure["unit"]}),
        }
        for figure in content["constants"]
    ]
    found = {
        "@context": "https://schema.org",
        "@type": "Product",
        "@id": url,
        "url": url,
        "name": content["name"],
        "sku": content["product"],
        "additionalProperty": properties,
    }
    made = content["made_on"]
    return {**found, "productionDate": made} if made else found


def look_up_document() -> Document:
    """The form for a number, for whoever has no camera at hand."""
    return Document(
        title="Look up a jar",
        subtitle="What it is, and what was put on it",
        language=LANGUAGE,
        blocks=(
            Paragraph("The number stands on the label. Spaces, dots and case make no difference."),
            _LOOK_UP,
        ),
    )


def unknown_document(
    said: str, did_you_mean: Sequence[str], *, title: str = "No sheet under this number"
) -> Document:
    """A friendly answer to a number, or a product, that cannot be found."""
    blocks: list[Block] = [Paragraph(said)]
    if did_you_mean:
        meant = tuple(Choice(Link(number, f"/l/{number}")) for number in did_you_mean)
        blocks += [Paragraph("Did you mean"), Choices(meant)]
    return Document(
        title=title,
        subtitle="",
        language=LANGUAGE,
        blocks=(*blocks, _LOOK_UP),
    )


def list_document(title: str, subtitle: str, rows: Sequence[tuple[str, str, str]]) -> Document:
    """Lots to choose from: (number, net, path) each."""
    return Document(
        title=title,
        subtitle=subtitle,
        language=LANGUAGE,
        blocks=(
            Paragraph("Each jar bears one of these numbers; choose yours for its sheet."),
            Choices(tuple(Choice(Link(number, path), net) for number, net, path in rows)),
            _LOOK_UP,
        ),
    )
