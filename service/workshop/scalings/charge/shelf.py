"""What feeds the lines: the open lots in their order, and the lots or versions that were chosen."""

from collections.abc import Sequence

from service.errors import Invalid, at
from service.store.session import ReadSession
from service.workshop.recipes import queries as recipes
from service.workshop.scalings.bodies import ScalingIn
from service.workshop.stock.queries import OpenLot, lot_in_body, open_lots_of

_UNUSABLE = {
    "draft": ("recipe-not-approved", "Approve it, or choose an approved one."),
    "retired": ("version-retired", "Choose an approved one, or leave the choice out."),
}


def shelf(
    session: ReadSession, lines: Sequence[recipes.Line], wanted: ScalingIn
) -> dict[str, list[OpenLot]]:
    """The open lots of every line, a lot that was chosen before the others; none of what a chosen
    version makes. Raises Invalid."""
    codes = dict.fromkeys(line.material for line in lines)
    found = {
        material: [held for held in lots if held.lot.measure == "mass"]
        for material, lots in open_lots_of(session, codes).items()
    }
    for code, choice in wanted.choose.items():
        if code not in found:
            wrong = f"No line of the recipe is {code}."
            hint = f"Its lines are {', '.join(found)}."
            raise Invalid(wrong, at(f"#/choose/{code}", wrong, "not-in-recipe", hint=hint))
        if choice.lot is not None:
            found[code] = _chosen(session, found[code], code, number=choice.lot)
        elif choice.version is not None:
            _check_version(session, code, choice.version)
            found[code] = []  # it is to be made
    return found


def _chosen(
    session: ReadSession, lots: Sequence[OpenLot], material: str, *, number: str
) -> list[OpenLot]:
    pointer = f"#/choose/{material}/lot"
    lot = lot_in_body(session, number, pointer=pointer)
    chosen = [held for held in lots if held.lot.row_id == lot.row_id]
    if not chosen:
        wrong = f"{lot.number} is no open lot of {material}."
        if lot.material != material:
            wrong = f"{lot.number} is a lot of {lot.material}, not of {material}."
        there = ", ".join(held.lot.number for held in lots) or "none"
        raise Invalid(wrong, at(pointer, wrong, "lot-not-open", hint=f"Open lots: {there}."))
    return [*chosen, *(held for held in lots if held.lot.row_id != lot.row_id)]


def _check_version(session: ReadSession, material: str, number: int) -> None:
    """Raises Invalid for a version that does not make a material, or that nobody works from."""
    pointer = f"#/choose/{material}/version"
    known = [
        version
        for recipe in recipes.recipes_of_material(session, material)
        for version in recipes.versions(session, recipe.code)
    ]
    version = next((each for each in known if each.number == number), None)
    if version is None:
        wrong = f"No recipe that makes {material} has a version {number}."
        usable = [f"{each.recipe} {each.number}" for each in known if each.state == "approved"]
        hint = f"Approved: {', '.join(usable) or 'none'}."
        raise Invalid(wrong, at(pointer, wrong, "version-unknown", hint=hint))
    if version.state in _UNUSABLE:
        code, hint = _UNUSABLE[version.state]
        wrong = f"Version {number} of {version.recipe} is {version.state}."
        raise Invalid(wrong, at(pointer, wrong, code, hint=hint))
