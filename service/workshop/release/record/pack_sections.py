"""The items of the filled packs as blocks for the press."""

from collections.abc import Iterator

from service.press.blocks import Block, Heading
from service.workshop.release.record.cells import WHEN, Data, facts, grouped, table


def places(data: Data) -> Iterator[Block]:
    names = {"lot": "Lot", "place": "Place", "moment": "Moment", "clear": "Clear", "text": "Found"}
    yield from table({**names, "by": "By", "at": WHEN}, data["checks"])


def labels(data: Data) -> Iterator[Block]:
    for lot in data["lots"]:
        yield Heading(lot["lot"], 3)
        yield facts(
            {
                "Label revision": lot["revision"],
                "SHA-256 of the label": grouped(lot["sha256"]),
                "Packs": lot["packs"],
                "Printed": lot["printed"],
                "Used": lot["used"],
                "Spoiled": lot["spoiled"],
                "Unaccounted for": lot["unaccounted"],
            }
        )
        if lot["print"]:
            yield facts({f"On it: {name}": text for name, text in _printed(lot["print"])})


def _printed(label: Data) -> Iterator[tuple[str, str]]:
    """What stands on a label, element by element, in words."""
    for name, value in label.items():
        if isinstance(value, list):
            value = "; ".join(part if isinstance(part, str) else part[1] for part in value)
        if value:
            yield name.replace("_", " "), value


def containers(data: Data) -> Iterator[Block]:
    names = {"lot": "Packs", "pack": "Pack", "net": "Net", "count": "Count"}
    held = {"container_lot": "Container", "closure_lot": "Closure"}
    rows = [
        {
            **lot,
            "container_lot": f"{lot['container']}, lot {lot['container_lot']}",
            "closure_lot": lot["closure"] and f"{lot['closure']}, lot {lot['closure_lot']}",
        }
        for lot in data["lots"]
    ]
    yield from table({**names, **held}, rows)


def samples(data: Data) -> Iterator[Block]:
    names = {"lot": "Lot", "kind": "Kind", "amount": "Amount", "kept_at": "Kept at"}
    yield from table({**names, "by": "By", "at": WHEN}, data["samples"])


def examinations(data: Data) -> Iterator[Block]:
    for lot in data["lots"]:
        yield Heading(lot["lot"], 3)
        check = lot["fill_check"]
        yield facts(
            {
                "Check of the fill": f"{check['verdict']}: {check['why']}",
                "Packs weighed": check["weighed"],
                "Rule": check["rule"],
            }
        )
        counts = {"examined": "Looked at", "leaking": "Leak", "marred": "Look wrong"}
        yield from table(
            {"appearance": "How they look", **counts, "by": "By", "at": WHEN}, lot["examinations"]
        )
