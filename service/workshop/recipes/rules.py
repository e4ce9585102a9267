"""What recipes may be: refusals, the stages of the work and what counts as oil or resin."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal, Protocol

from service.errors import Conflict, Invalid, NotFound
from service.science import ratios
from service.workshop.materials.rules import COUNTED

Stage = Literal["melt", "cook", "dissolve", "thin", "mix", "strain", "other"]
Do = Literal["heat", "hold", "cool", "strain", "note"]

MAKEABLE = frozenset({"intermediate", "finished", "reagent"})
COOKED = frozenset({"cook"})  # the stages that lose fumes, water and gas
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


def default_version(states: Mapping[int, str]) -> int | None:
    """The number of the newest approved version, or None."""
    return max((number for number, state in states.items() if state == "approved"), default=None)


def in_force(states: Mapping[int, str]) -> list[int]:
    """The versions that can still shape what is made: the default one and every newer draft."""
    start = default_version(states) or 0
    return [number for number in states if number >= start]


class Weighed(Protocol):
    """What a line must say for its share to be worked out."""

    line: int
    material: str
    basis: str
    amount: Decimal
    stage: str


@dataclass(frozen=True, slots=True)
class Charge:
    """One line for a unit of what comes out: what is weighed in, and what of it stays."""

    line: int
    material: str
    charged: Fraction
    kept: Fraction


def charges(lines: Sequence[Weighed], *, loss_cook: Decimal, loss_strain: Decimal) -> list[Charge]:
    """The lines of a recipe for one unit of what comes out; losses in percent of what goes in.

    Parts and percents describe what is in the kettle after the cook. A cooked line is weighed in
    with what the cook takes of it, every line with what straining takes.
    """
    shares = ratios.shares([(line.basis, line.amount) for line in lines])
    strained = 100 / (100 - Fraction(loss_strain))
    cooked = 100 / (100 - Fraction(loss_cook))
    return [
        Charge(
            line=line.line,
            material=line.material,
            charged=share * strained * (cooked if line.stage in COOKED else 1),
            kept=share,
        )
        for line, share in zip(lines, shares, strict=True)
    ]
