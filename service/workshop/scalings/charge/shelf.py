"""What feeds the lines: the open lots in their order, and the lots or versions that were chosen."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from service.errors import Invalid, at
from service.store.session import ReadSession
from service.workshop.recipes import queries as recipes
from service.workshop.scalings.bodies import ScalingIn
from service.workshop.scalings.charge.choices import chosen, in_the_pot
from service.workshop.stock.queries import OpenLot, open_lots_of

_UNUSABLE = {
    "draft": ("recipe-not-approved", "Approve it, or choose an approved one."),
    "retired": ("version-retired", "Choose an approved one, or leave the choice out."),
}


def shelf(
    session: ReadSession,
    lines: Sequence[recipes.Line],
    wanted: ScalingIn,
    reserved: Mapping[int, int],
) -> dict[str, list[OpenLot]]:
    """The open lots of every line less what is reserved of them, a lot that was chosen before the
    others; none of what a chosen version makes. Raises Invalid."""
    codes = dict.fromkeys(line.material for line in lines)
    found = {
        material: [held for held in _free(lots, reserved) if held.lot.measure == "mass"]
        for material, lots in open_lots_of(session, codes).items()
    }
    weighed = {} if wanted.bench is None else wanted.bench.lots
    for code, number in weighed.items():
        _check_line(found, code, f"#/bench/lots/{code}")
        found[code] = in_the_pot(session, code, number, found[code])
    for code, choice in wanted.choose.items():
        if code in weighed:
            continue
        _check_line(found, code, f"#/choose/{code}")
        if choice.lot is not None:
            found[code] = chosen(session, wanted, code, lots=found[code], reserved=reserved)
        elif choice.version is not None:
            _check_version(session, code, choice.version)
            found[code] = []  # it is to be made
    return found


def _check_line(found: Mapping[str, object], code: str, pointer: str) -> None:
    if code not in found:
        wrong = f"No line of the recipe is {code}."
        hint = f"Its lines are {', '.join(found)}."
        raise Invalid(wrong, at(pointer, wrong, "not-in-recipe", hint=hint))


def _free(lots: Sequence[OpenLot], reserved: Mapping[int, int]) -> Iterator[OpenLot]:
    for held in lots:
        free = held.left - reserved.get(held.lot.row_id, 0)
        if free > 0:
            yield replace(held, left=free)


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
