"""How recipes stand in one another: never in a circle, and not too deep."""

import functools

from service.errors import at
from service.store.session import WriteSession
from service.workshop.recipes import queries
from service.workshop.recipes.rules import (
    MOST_LEVELS,
    ContainsItself,
    TooDeep,
    deepest_way,
    way_back,
)


def check_nesting(
    session: WriteSession, makes: str, materials: list[str], *, pointer: str | None = None
) -> None:
    """Raises ContainsItself or TooDeep at the line that leads there, or at the pointer given."""
    parts_of = functools.cache(functools.partial(queries.parts_of, session))
    way = way_back(makes, materials, parts_of)
    if way is not None:
        place = pointer or _line(materials, way[0])
        through = " holds ".join(way) if len(way) > 1 else f"a line is {way[0]} itself"
        text = f"{makes} would contain itself: {through}."
        raise ContainsItself(text, at(place, text, "recipe-contains-itself"))
    known: dict[str, list[str]] = {}
    down = max((deepest_way(code, parts_of, known) for code in materials), key=len, default=[])
    up = deepest_way(makes, functools.partial(queries.made_with, session), {})
    if len(up) + len(down) > MOST_LEVELS:
        path = " holds ".join([*(reversed(up) if up else [makes]), *down])
        text = f"{len(up) + len(down)} intermediates would stand in one another: {path}."
        hint = f"{MOST_LEVELS} are the most: make one of them in one recipe with what holds it."
        place = pointer or (_line(materials, down[0]) if down else "#/lines")
        raise TooDeep(text, at(place, text, "too-deep", hint=hint))


def _line(materials: list[str], code: str) -> str:
    return f"#/lines/{materials.index(code)}/material"
