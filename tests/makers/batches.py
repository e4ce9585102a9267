"""The bench of an invented workshop, its shelf, and batches made there."""

from typing import Any

from tests.client import Client
from tests.makers.recipes import TABLE, spar
from tests.makers.stock import CERTIFICATE, receipt

GOODS = (
    ("ROSIN", "5 kg", "18.50"),
    ("ZNO", "500 g", "9.10"),
    ("OIL-LIN", "5 kg", "31.00"),
    ("OIL-TUNG", "3 kg", "48.00"),
)
BOILS = {"boiling_point": {"value": "150 °C", **CERTIFICATE}}
# A plan with less than it needs is refused unless a key with the scope release says why.
COMES = {"override_reason": "What is missing comes on the day."}
Lots = dict[str, str]


def bench(client: Client) -> None:
    """A person, a kettle, a balance, and the zone of the clock on the wall."""
    card = {"zone": "Europe/London", "currency": "EUR"}
    assert client.patch("/v1/workshop", card).status_code == 200
    client.made("/v1/people", {"code": "MB"})
    client.made("/v1/equipment", {"code": "KETTLE-2", "kind": "kettle", "holds": "12 l"})
    client.made("/v1/equipment", {"code": "BAL-6KG", "kind": "balance", "reads_to": "1 g"})


def stocked(client: Client, *, boils: bool = True) -> Lots:
    """The bench, both recipes approved, one lot of each ingredient; lot numbers by material."""
    bench(client)
    spar(client)
    lines: list[dict[str, Any]] = [
        {"material": code, "amount": much, "price": price} for code, much, price in GOODS
    ]
    spirit: dict[str, Any] = {"material": "WSPIRIT", "amount": "10 l", "price": "29.00"}
    spirit["density"] = {"value": "0.778 kg/l", **TABLE}
    lines.append({**spirit, "figures": BOILS} if boils else spirit)
    made = receipt(client, *lines, on="2026-11-20")
    return {row["material"]: row["lot"] for row in made["lots"]}


def planned(client: Client, recipe: str, much: Any, **more: Any) -> str:
    """The code of a batch that was planned, whatever is on the shelf."""
    body = {"recipe": recipe, "for": much, "on": "2026-11-25", **COMES, **more}
    code: str = client.made("/v1/batches", body)["batch"]
    return code


def resinate(client: Client, much: str = "1.2 kg") -> str:
    """A resinate made as planned; the number of its lot."""
    code = planned(client, "RESIN-ZN", much, on="2026-11-24")
    sheet = client.read(f"/v1/batches/{code}/sheet")
    page = {"on": "2026-11-24", "lines": as_planned(sheet), "yield": much, "finished": True}
    lot: str = client.made(f"/v1/batches/{code}/pages", page)["lot"]
    return lot


def as_planned(sheet: dict[str, Any]) -> dict[str, str]:
    """Every weighed line of a sheet that has a target, with exactly that."""
    return {
        str(line["line"]): line["target"]["value"]
        for stage in sheet["steps"]
        for line in stage["lines"]
        if line["do"] == "weigh" and "target" in line
    }


def ready(client: Client, **more: Any) -> tuple[str, Lots]:
    """A spar varnish planned, everything for it on the shelf; its code, lots by material."""
    lots = stocked(client, **more)
    lots["RESIN-ZN"] = resinate(client)
    assert client.made(f"/v1/lots/{lots['RESIN-ZN']}/figures", _density())
    return planned(client, "SPAR", "5.49 kg"), lots


def _density() -> dict[str, Any]:
    return {"property": "density", "value": "1.09 kg/l", **TABLE}


def evening(lots: Lots, **changes: Any) -> dict[str, Any]:
    """The page of an evening: weighed, cooked, noted, finished."""
    return {
        "on": "2026-11-25",
        "by": "MB",
        "lines": {
            "1": "1149.5",
            "2": "1379",
            "3": {"weighed": "918.5", "lot": lots["OIL-TUNG"]},
            "4": "2230",
        },
        "cook": [
            ["13:05", 60],
            ["about 14:20", 240, "string 3 cm"],
            ["15:10", 150, "spirit in, off the heat"],
        ],
        "notes": {"14:35": "foam two fingers high, lifted off for a minute"},
        "yield": "5.478 kg",
        "finished": True,
        **changes,
    }


def line_of(sheet: dict[str, Any], number: int) -> dict[str, Any]:
    """One line of a sheet."""
    every = (line for stage in sheet["steps"] for line in stage["lines"])
    found: dict[str, Any] = next(line for line in every if line["line"] == number)
    return found


def left(client: Client, lot: str) -> Any:
    """What the ledger says is left of a lot."""
    return client.read(f"/v1/lots/{lot}")["left"]
