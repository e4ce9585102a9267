"""What is read of scalings: frozen, so read back as they were."""

from typing import Any

from service.office.documents.queries import content, latest
from service.store.session import ReadSession
from service.workshop.recipes.queries import recipe
from service.workshop.scalings.bodies import ScalingOut
from service.workshop.scalings.rules import UnknownScaling
from service.workshop.scalings.told.older import in_todays_shape
from service.workshop.stock.queries import sees_costs


def scaling(session: ReadSession, number: str) -> dict[str, Any]:
    """The frozen content of a scaling, told in today's shape. Raises UnknownScaling."""
    document = latest(session, "scaling", number.strip().upper()[:20])
    if document is None:
        raise UnknownScaling(f"There is no scaling {number[:20]!r}.")
    return in_todays_shape(content(document))


def shown(session: ReadSession, recipe_code: str, number: str) -> dict[str, Any]:
    """A scaling of a recipe, its cost only for those who may see it. Raises UnknownRecipe,
    UnknownScaling."""
    row = recipe(session, recipe_code)
    found = scaling(session, number)
    if found["recipe"] != row.code:
        raise UnknownScaling(f"{found['scaling']} is a scaling of {found['recipe']}.")
    return found if sees_costs(session) else without_cost(found)


def without_cost(found: dict[str, Any]) -> dict[str, Any]:
    """The same answer with nothing said of money."""
    named = {part: [row for row in found[part] if row["name"] != "cost"] for part in _NAMED}
    notes = {name: note for name, note in found["notes"].items() if name != "cost"}
    return {**found, **named, "notes": notes}


_NAMED = ("figures", "undecided")


def told(found: ScalingOut) -> str:
    """A scaling in one line."""
    mass = found.makes.mass
    short = list(dict.fromkeys(row.material for row in found.shopping))
    ending = f"; short of {', '.join(short)}" if short else "; all of it is in stock"
    return f"{found.scaling}: {mass.value} {mass.unit} in {len(found.lines)} lines{ending}."
