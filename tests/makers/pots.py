"""A pot of varnish on an invented stove, to be brought to a goal."""

from typing import Any

from tests.client import Client
from tests.makers.batches import planned, stocked
from tests.makers.materials import figure, material
from tests.makers.recipes import recipe
from tests.makers.stock import receipt

CUP = "ISO2431-4"
THINNED = {
    "code": "OAR-VARNISH",
    "lines": [{"material": "OIL-LIN", "parts": 1}, {"material": "ROSIN", "parts": 1}],
    "steps": [{"heat": "200 °C"}],
}
GOAL: dict[str, Any] = {
    "property": "flow_time",
    "target": "62 s",
    "within": "2 s",
    "material": "WSPIRIT",
    "cup": CUP,
    "by": "MB",
}


def pot(client: Client, *, viscosity: str | None = "1.2 mm2/s", at: str | None = None) -> str:
    """A batch in the kettle, 2 kg weighed in, nothing thinned; its code."""
    stocked(client)
    material(client, "OAR-VARNISH", kind="finished")
    recipe(client, THINNED)
    if viscosity is not None:
        figure(client, "WSPIRIT", "kinematic_viscosity", viscosity, temperature="25 °C")
    code = planned(client, "OAR-VARNISH", "2 kg", kettle="KETTLE-2")
    when = {} if at is None else {"happened_at": at}
    for line in (1, 2):
        body = {"line": line, "amount": "1000 g", **when}
        client.made(f"/v1/batches/{code}/weighings", body)
    return code


def aimed(client: Client, code: str, **goal: Any) -> dict[str, Any]:
    """A goal set for a batch; the answer."""
    return client.made(f"/v1/batches/{code}/adjustments", {**GOAL, **goal})


def read(client: Client, code: str, value: str, number: int = 1, **more: Any) -> dict[str, Any]:
    """The pot read for an adjustment; the answer."""
    path = f"/v1/batches/{code}/adjustments/{number}/readings"
    return client.made(path, {"value": value, **more})


def add(client: Client, code: str, amount: str, number: int = 1, **more: Any) -> dict[str, Any]:
    """Something added for an adjustment; the answer."""
    path = f"/v1/batches/{code}/adjustments/{number}/additions"
    return client.made(path, {"amount": amount, **more})


def turpentine(client: Client) -> str:
    """A solvent that no recipe here names; the number of its lot."""
    material(client, "TURPS", family="solvent")
    return str(receipt(client, {"material": "TURPS", "amount": "2 kg"})["lots"][0]["lot"])
