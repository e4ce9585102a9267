"""Materials of an invented workshop and its recipes: a zinc resinate and a spar varnish."""

from typing import Any

from tests.client import Client

TABLE = {"basis": "handbook", "source": "an invented table"}
STEPS = [{"heat": "240 °C"}, {"hold": "45 min", "until": "string 3 cm"}]
RESINATE = {
    "code": "RESIN-ZN",
    "lines": [{"material": "ROSIN", "parts": 100}, {"material": "ZNO", "parts": 5}],
    "steps": [{"heat": "250 °C"}, {"hold": "60 min", "until": "clear on glass"}],
}
SPAR = {
    "code": "SPAR",
    "lines": [
        {"material": "RESIN-ZN", "parts": 1},
        {"material": "OIL-LIN", "parts": 1.2},
        {"material": "OIL-TUNG", "parts": 0.8},
        {"material": "WSPIRIT", "percent": 40, "stage": "thin"},
    ],
    "steps": STEPS,
    "loss_cook": "3 %",
    "loss_strain": "1.5 %",
}
# Code, kind, family, density in kg/l, non-volatile in %, whether rags can take fire.
SHELF = (
    ("ROSIN", "ingredient", "resin", "1.07", "100", False),
    ("ZNO", "ingredient", "oxide", "5.6", "100", False),
    ("OIL-LIN", "ingredient", "drying-oil", "0.930", "100", True),
    ("OIL-TUNG", "ingredient", "drying-oil", "0.938", "100", True),
    ("WSPIRIT", "ingredient", "solvent", "0.778", "0", False),
    ("RESIN-ZN", "intermediate", None, None, None, None),
    ("SPAR", "finished", None, None, None, None),
)


def figures(density: str | None = None, non_volatile: str | None = None) -> dict[str, Any]:
    """Figures of a material, both from the invented table."""
    told = {"density": (density, "kg/l"), "non_volatile": (non_volatile, "%")}
    return {
        name: {"value": f"{value} {unit}", **TABLE}
        for name, (value, unit) in told.items()
        if value is not None
    }


def material(client: Client, code: str, *, kind: str = "ingredient", **more: Any) -> Any:
    """A material under a code."""
    return client.made("/v1/materials", {"code": code, "kind": kind, **more})


def shelf(client: Client) -> None:
    """The materials that the two recipes need."""
    for code, kind, family, density, non_volatile, rags in SHELF:
        known = {"family": family, "autoxidising": rags} if family else {}
        material(client, code, kind=kind, figures=figures(density, non_volatile), **known)


def recipe(client: Client, body: dict[str, Any], *, approved: bool = True) -> Any:
    """A recipe, its first version approved unless a draft is wanted."""
    made = client.made("/v1/recipes", body)
    if approved:
        client.made(f"/v1/recipes/{body['code']}/approvals", {})
    return made


def spar(client: Client) -> None:
    """The shelf, and both recipes approved."""
    shelf(client)
    recipe(client, RESINATE)
    recipe(client, SPAR)


def again(client: Client, code: str, body: dict[str, Any], *, why: str = "to try it") -> Any:
    """A further draft of a recipe, with its reason."""
    return client.made(f"/v1/recipes/{code}/versions", {"why": why, **body})


def retired(client: Client, code: str, number: int = 1) -> Any:
    """An approved version taken out of use."""
    body = {"version": number, "reason": "the resin ran short"}
    return client.made(f"/v1/recipes/{code}/retirements", body)


def refused(client: Client, path: str, body: Any, status: int = 422) -> Any:
    """POST and expect a refusal; its body."""
    answer = client.post(path, body)
    assert answer.status_code == status, answer.text
    return answer.json()


def version(client: Client, code: str, number: int = 1) -> Any:
    """A version as it is shown."""
    return client.read(f"/v1/recipes/{code}/versions/{number}")


def figure(document: Any, name: str) -> str | None:
    """The value of a figure in a document, or None where it has none."""
    return next((f["value"] for f in document["figures"] if f["name"] == name), None)
