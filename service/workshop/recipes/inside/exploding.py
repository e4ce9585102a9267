"""What comes out of a version, its intermediates taken apart by the contents of their own recipes:
exact shares, with what reactions made and what of each resin they left."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from service.science.formulation import OXYGEN
from service.science.pots import ACIDS, INERT, SPENT, Component, Substance, total
from service.science.rounding import decimal_of, plain, round_significant
from service.workshop.recipes.inside.composition import Composition, Made
from service.workshop.recipes.inside.contents import charged_lines, missing
from service.workshop.recipes.inside.working import Work

Closed = Callable[[Substance], bool]
_HOW = {
    "resinate": "made in the pot, by stoichiometry",
    OXYGEN: "from the air, as declared",
    SPENT: "what no wash takes out",
}


class Leaf(NamedTuple):
    """One thing that is not taken apart further, its mass a share of the whole."""

    component: Component
    charged: Mapping[int, Substance]  # the lines of the recipe that it was weighed into
    reacted: bool  # whether a part of its acid has taken metal

    @property
    def materials(self) -> tuple[str, ...]:
        """What was weighed in for it."""
        lines = (line for line in self.component.lines if line in self.charged)
        return tuple(dict.fromkeys(self.charged[line].name for line in lines))


@dataclass(slots=True)
class Opened:
    """What a version is made of, and the values without which a reaction was not reckoned."""

    leaves: list[Leaf] = field(default_factory=list)
    lacking: list[tuple[str, str]] = field(default_factory=list)
    stayed_whole: bool = False  # whether something was left closed that its recipe would open

    @property
    def missing(self) -> list[str]:
        return missing(self.lacking)

    @property
    def contents(self) -> list[Component]:
        return [leaf.component for leaf in self.leaves]


class Portion(NamedTuple):
    """A component of the whole by name, as its exact share."""

    component: str
    name: str
    family: str | None
    share: Fraction
    materials: tuple[str, ...]
    how: str | None


def nothing_closed(_: Substance) -> bool:
    return False


def opened(of: Composition, work: Work, *, closed: Closed = nothing_closed) -> Opened:
    """Take a version apart; what `closed` says stays whole, and what has no recipe."""
    found = Opened()
    _open(of, work, (), closed, found)
    return found


def _open(
    of: Composition, work: Work, above: tuple[str, ...], closed: Closed, into: Opened
) -> None:
    """Add the leaves of one unit of what comes out."""
    if work.done is None:
        into.lacking += work.lacking.missing if work.lacking else ()
        return
    into.lacking += work.done.undecided
    charged = charged_lines(work.formula)
    reacted = _lines_in_resinates(work.done.contents)
    whole = work.done.makes
    for one in work.done.contents:
        part = one.times(1 / whole)
        touched = one.family in ACIDS and not reacted.isdisjoint(one.lines)
        inner = _inner(of, one, above, closed, into)
        if inner is None:
            into.leaves.append(Leaf(part, charged, touched and one.substance is not None))
        elif touched:
            into.leaves += _rest(part, charged, inner)
        else:
            into.leaves += [_times(leaf, part.mass) for leaf in inner]


def _lines_in_resinates(contents: Sequence[Component]) -> set[int]:
    made = (one for one in contents if one.substance is None and one.family == "resinate")
    return {line for one in made for line in one.lines}


def _inner(
    of: Composition, one: Component, above: tuple[str, ...], closed: Closed, into: Opened
) -> list[Leaf] | None:
    """What an intermediate is made of, for one unit of it; None for what stays as it is."""
    if one.substance is None:
        return None
    made: Made | None = of.made(one.substance.name, above)
    if made is None:
        return None
    if closed(one.substance):
        into.stayed_whole = True
        return None
    found = Opened()
    _open(of, made.work, (*above, one.substance.name), closed, found)
    into.lacking += found.lacking
    into.stayed_whole |= found.stayed_whole
    return found.leaves or None


def _times(leaf: Leaf, factor: Fraction) -> Leaf:
    return Leaf(leaf.component.times(factor), leaf.charged, leaf.reacted)


def _rest(
    part: Component, charged: Mapping[int, Substance], inner: Sequence[Leaf]
) -> Iterator[Leaf]:
    """An intermediate of which a part has reacted: the acid that is left, and all else in it."""
    acid = part.acid_mol * part.acid_g_mol
    beside = [_without_acid(leaf) for leaf in inner]
    whole = total(leaf.component for leaf in beside)
    if not whole:
        yield Leaf(part, charged, True)
        return
    yield Leaf(part._replace(mass=acid), charged, True)
    yield from (_times(leaf, (part.mass - acid) / whole) for leaf in beside)


def _without_acid(leaf: Leaf) -> Leaf:
    one = leaf.component
    mass = one.mass - one.acid_mol * one.acid_g_mol
    left = one._replace(mass=mass, acid_mol=Fraction(0))
    return Leaf(left, leaf.charged, leaf.reacted or bool(one.acid_mol))


def portions(of: Composition, found: Opened) -> list[Portion]:
    """The leaves by name, the largest first; together they are 1."""
    merged: dict[str, Portion] = {}
    for leaf in found.leaves:
        for each in _portions(of, leaf):
            held = merged.get(each.component)
            merged[each.component] = each if held is None else _both(held, each)
    return sorted(merged.values(), key=lambda each: -each.share)


def _both(held: Portion, more: Portion) -> Portion:
    materials = tuple(dict.fromkeys((*held.materials, *more.materials)))
    return Portion(
        held.component, held.name, held.family, held.share + more.share, materials, held.how
    )


def _portions(of: Composition, leaf: Leaf) -> Iterator[Portion]:
    one, made_from = leaf.component, leaf.materials
    # What was taken up is no line of the recipe, so it bears another name than its substance.
    if one.substance is None or one.substance.name != one.name:
        yield _made(of, leaf)
        return
    code = one.substance.name
    name = of.material(code).name
    if not leaf.reacted:
        yield Portion(code, name, one.family, one.mass, made_from, None)
        return
    acid = one.acid_mol * one.acid_g_mol
    each = plain(round_significant(decimal_of(one.acid_g_mol), 4))
    how = f"the acid that took no metal, reckoned at {each} g/mol"
    parts = (
        ("unreacted-acids-of", "unreacted acids of", acid, how),
        ("neutral-matter-of", "neutral matter of", one.mass - acid, "what of it is no acid"),
    )
    for key, words, share, told in parts:
        if share:
            yield Portion(f"{key}-{code}", f"{words} {name}", one.family, share, made_from, told)


def _made(of: Composition, leaf: Leaf) -> Portion:
    """What a reaction made or left behind, or what was taken up."""
    one = leaf.component
    if one.family == INERT:
        code = leaf.materials[0]
        name = f"inert matter of {of.material(code).name}"
        how = "what of it is not counted by its assay"
        return Portion(f"inert-matter-of-{code}", name, INERT, one.mass, leaf.materials, how)
    key = one.name.replace(" ", "-")
    told = _HOW.get(one.family or "")
    return Portion(key, one.name, one.family, one.mass, leaf.materials, told)
