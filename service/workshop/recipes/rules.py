"""What recipes may be: refusals, the stages of the work and what counts as oil or resin."""

from collections.abc import Callable, Collection, Iterable, Mapping
from fractions import Fraction
from typing import Literal, NamedTuple

from service.errors import Conflict, Invalid, NotFound
from service.workshop.materials.rules import COUNTED

Stage = Literal[
    "run",
    "melt",
    "saponify",
    "precipitate",
    "wash",
    "dry",
    "sun-thicken",
    "cook",
    "dissolve",
    "mix",
    "thin",
    "other",
    "settle",
    "decant",
    "filter",
    "strain",
    "mature",
]
Do = Literal["heat", "hold", "cool", "wait", "check", "strain", "note"]
Cause = Literal[
    "fumes",
    "water",
    "transfer",
    "straining",
    "residue",
    "evaporation",
    "settling",
    "oxygen",
]
# Of each rule that has a figure: the field it is sent in, and the unit that the sums take it in.
RULE_FIGURES = {
    "neutralise": ("share", "%"),
    "precipitate": ("share", "%"),
    "metal": ("share", "%"),
    "solids": ("share", "%"),
    "per-binder": ("share", "%"),
    "volume": ("volume", "ml"),
    "cut": ("cut", "lb/US gal"),
    "strength": ("strength", "% v/v"),
}
MOST_LINES = 60
MOST_LEVELS = 12  # of intermediates in intermediates

MAKEABLE = frozenset({"intermediate", "finished", "reagent"})
_ROLES = {
    "drying-oil": "oil",
    "resin": "resin",
    "resinate": "resin",
    "balsam": "resin",
}
# What reacts into a resinate and is weighed as part of it.
_REACTING = frozenset({"base", "oxide", "salt", "water"})


class UnknownRecipe(NotFound):
    slug = "recipe-unknown"
    title = "There is no such recipe"


class UnknownVersion(NotFound):
    slug = "version-unknown"
    title = "The recipe has no such version"


class NotApproved(Conflict):
    slug = "recipe-not-approved"
    title = "No version of this recipe is approved"
    about = (
        "Batches are made from approved versions. Read the draft, and approve it with POST "
        "/v1/recipes/{code}/approvals."
    )


class NotInUse(Conflict):
    slug = "not-in-use"
    title = "The recipe, or something in it, is archived"
    about = (
        "New work is planned with what is in use. Take what was archived back into use with its "
        'PATCH, {"archived": false}, or plan with another version or recipe. What was made stays.'
    )


class AlreadyApproved(Conflict):
    slug = "already-approved"
    title = "This version is already approved"
    about = "An approved version is frozen. A change is a new version: POST it to …/versions."


class NotFrozen(Conflict):
    slug = "version-not-approved"
    title = "Only an approved version is retired"
    about = "A draft is in no use and a retired version in none any more: read its `state`."


class Retired(Conflict):
    slug = "version-retired"
    title = "This version is retired"
    about = (
        "Nothing new is planned from a retired version; what was made by it stays. Its "
        "`retired_for` says why. Name another version, or draft one and approve it."
    )


class IntermediateRetired(Conflict):
    slug = "intermediate-retired"
    title = "The recipe of an intermediate is retired"
    about = (
        "Every approved version by which an intermediate was made is retired. Approve another "
        "version of its recipe, or plan with a version that does without it."
    )


class TooDeep(Invalid):
    slug = "too-deep"
    title = "Too many intermediates stand in one another"
    about = (
        f"More than {MOST_LEVELS} intermediates would lie between what is made and what is bought. "
        "Make one of them from what it is made of, in one recipe."
    )


class ContainsItself(Invalid):
    slug = "recipe-contains-itself"
    title = "The recipe would contain what it makes"
    about = (
        "A line names what the recipe makes, itself or through the recipes of its intermediates, "
        "so no amount of it could ever be worked out. Name another material in that line."
    )


def line_problem(kind: str) -> str | None:
    """Why a material of this kind cannot be a line of a recipe, or None."""
    if kind in COUNTED:
        return f"a {kind} is counted, not weighed in: it belongs to a pack of the product"
    return None


def made_problem(kind: str) -> str | None:
    """Why a material of this kind cannot be what a recipe makes, or None."""
    if kind in MAKEABLE:
        return None
    return f"it is of the kind {kind}; a recipe makes an intermediate, a reagent or what is sold"


def role(family: str | None) -> str | None:
    """How a family counts in the oil length: oil, resin or neither; None where it is not known.

    Castor, olive and other non-drying oils count as neither (common practice).
    """
    return None if family is None else _ROLES.get(family, "neither")


def role_of_made(families: Iterable[str | None]) -> str | None:
    """How what was made from these families counts as a whole, or None where it is a mixture.

    Resin with what reacts into it is a resinate and counts by all its mass (common practice).
    """
    found = set(families)
    if found and found <= _REACTING | {"resin", "resinate"} and found & {"resin", "resinate"}:
        return "resin"
    if None not in found and found and not {role(family) for family in found} - {"neither"}:
        return "neither"
    return None


def way_back(
    makes: str, materials: Iterable[str], parts_of: Callable[[str], Iterable[str]]
) -> list[str] | None:
    """The way by which a recipe for `makes` would come to contain it, or None.

    `parts_of` names the materials in the recipes of a material.
    """
    ways: list[list[str]] = [[material] for material in materials]
    seen: set[str] = set()
    while ways:
        way = ways.pop()
        if way[-1] == makes:
            return way
        if way[-1] not in seen:
            seen.add(way[-1])
            ways.extend([*way, part] for part in parts_of(way[-1]))
    return None


def deepest_way(
    start: str, next_of: Callable[[str], Collection[str]], known: dict[str, list[str]]
) -> list[str]:
    """The longest way down from a material that has further ones below it: itself first; empty
    for one that has none. Where a way comes back on itself it ends.

    `next_of` names what is one level further; `known` keeps what was found.
    """
    if start not in known:
        known[start] = []  # so that a circle ends
        below = sorted(next_of(start))
        if below:
            ways = (deepest_way(code, next_of, known) for code in below)
            known[start] = [start, *max(ways, key=len)]
    return known[start]


def withdrawn(states: Iterable[str]) -> bool:
    """Whether nothing approved is left of what once was: a draft does not stand in for it."""
    found = set(states)
    return "retired" in found and "approved" not in found


def default_version(states: Mapping[int, str]) -> int | None:
    """The number of the newest approved version, or None."""
    return max((number for number, state in states.items() if state == "approved"), default=None)


def in_force(states: Mapping[int, str]) -> list[int]:
    """The versions that can still shape what is made: the default one and every newer draft."""
    start = default_version(states) or 0
    return [number for number in states if number >= start and states[number] != "retired"]


class Charge(NamedTuple):
    """One line for a unit of what comes out: what is weighed in, and what of it stays."""

    line: int
    material: str
    charged: Fraction
    kept: Fraction
