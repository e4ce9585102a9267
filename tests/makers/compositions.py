"""An invented shelf of which also the chemistry is known, and recipes of one or few lines on it."""

from typing import Any

from tests.client import Client
from tests.makers import recipes

TABLE = recipes.TABLE


def figure(value: str) -> dict[str, Any]:
    return {"value": value, **TABLE}


def material(client: Client, code: str, family: str | None, **figures: str) -> None:
    """A material with figures by property, each with its unit."""
    told = {name: figure(value) for name, value in figures.items()}
    kind = "ingredient" if family else "intermediate"
    client.made("/v1/materials", {"code": code, "kind": kind, "family": family, "figures": told})


def reacting(client: Client, *, acid_value: str | None = "165", assay: str | None = "100") -> None:
    """The shelf, with the acid of the rosin and what of the zinc oxide is zinc oxide."""
    recipes.shelf(client)
    known = {
        "ROSIN": ("acid_value", acid_value, "mg KOH/g", {"name": "gum rosin"}),
        "ZNO": ("assay", assay, "%", {"name": "zinc white", "formula": "ZnO"}),
    }
    for code, (name, value, unit, more) in known.items():
        assert client.patch(f"/v1/materials/{code}", more).status_code == 200
        if value is not None:
            body = {"property": name, **figure(f"{value} {unit}")}
            client.made(f"/v1/materials/{code}/figures", body)


def resinate(client: Client, zno: float = 5, *, rosin: float = 100) -> Any:
    """The zinc resinate by these parts, approved; its version."""
    lines = [{"material": "ROSIN", "parts": rosin}, {"material": "ZNO", "parts": zno}]
    recipes.recipe(client, {**recipes.RESINATE, "lines": lines})
    return recipes.version(client, "RESIN-ZN")


def mixed(client: Client, *lines: tuple[str, float], stage: str = "mix", **more: Any) -> Any:
    """A draft of materials by parts, nothing of it cooked."""
    recipes.material(client, "MIX-X", kind="finished")
    told = [{"material": code, "parts": parts, "stage": stage} for code, parts in lines]
    return client.made("/v1/recipes", {"code": "MIX-X", "lines": told, **more})["version"]


def portions(version: Any) -> dict[str, float]:
    """The shares of a version's components in %, by name."""
    return {row["name"]: float(row["share"]["value"]) for row in version["composition"]}


def undecided(version: Any, name: str) -> list[str] | None:
    """What a figure still needs, or None."""
    return next((row["missing"] for row in version["undecided"] if row["name"] == name), None)


def reason(version: Any, name: str) -> str | None:
    """Why a version has no such figure, or None."""
    rows = version["not_applicable"]
    return next((row["reason"] for row in rows if row["name"] == name), None)


def note(version: Any, name: str) -> Any:
    """The footnote of a figure."""
    key = next(row["note"] for row in version["figures"] if row["name"] == name)
    return version["notes"][key]
