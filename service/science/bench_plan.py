"""A batch as it is planned: what goes in, what is done, and how hot the kettle is in each stage."""

import functools
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from service.science.formulas import formula_parts, plain_formula

_FAMILIES = (
    "drying-oil",
    "other-oil",
    "resin",
    "resinate",
    "balsam",
    "solvent",
    "drier",
    "wax",
    "pigment",
    "base",
    "oxide",
    "salt",
    "water",
    "other",
)
_WORK = ("heat", "hold", "cool", "wait", "strain", "note", "check")
_ON_THE_FIRE = frozenset({"heat", "hold"})
COOK, THIN = "cook", "thin"
_HOT_STAGES = frozenset({COOK, "melt"})
_ROOM_C = Decimal(20)
_FLAMMABLE_UP_TO_C = 60  # Regulation (EC) 1272/2008, annex I, 2.6.1
_DAMPEST_PERCENT = 1  # as `damp_addition` of cook_plans holds it
# Often sold or grown with solvent or volatile oil in them.
_OFTEN_WITH_SOLVENT = frozenset({"drier", "balsam", "other"})
_WATER = {"H": 2, "O": 1}
_ALKALI = frozenset({"Li", "Na", "K"})
_LIME = frozenset({"Ca", "Mg", "Ba"})
# Salts of these are harmful when swallowed or to water life; those of the light metals are not.
_HEAVY = frozenset({"Ag", "As", "Ba", "Cd", "Hg", "Pb", "Sb", "Sn", "Zr"})
_HARMFUL = _HEAVY | {"Al", "Co", "Cr", "Cu", "Fe", "Mn", "Ni", "Zn"}
_ACETATES = ("CH3COO", "CH3CO2", "C2H3O2")


class PlannedLine(NamedTuple):
    """What is planned to go in; what is not known of it is left out.

    Fields: line [1, 1 to 9999; number of the line]; stage [text, cook, melt and thin are known as
    stages, any other word may stand]; material [text, its name]; mass_g [g, above 0], None if not
    known; family [one of `families()`], None if not known; formula [text, of a reagent, such as
    Zn(CH3COO)2.2H2O], None if not known; autoxidising [yes or no, yes for what takes up oxygen and
    warms by it], None if not known; is_ethanol [yes or no, yes for spirit]; flash_point_c [°C, -100
    to 1000], None if not known; boiling_point_c [°C, -100 to 1000; its beginning], None if not
    known; autoignition_c [°C, -100 to 1000], None if not known; water_percent [%, 0-100; water in
    it], None if not known.
    """

    line: int
    stage: str
    material: str
    mass_g: Decimal | None
    family: str | None = None
    formula: str | None = None
    autoxidising: bool | None = None
    is_ethanol: bool = False
    flash_point_c: Decimal | None = None
    boiling_point_c: Decimal | None = None
    autoignition_c: Decimal | None = None
    water_percent: Decimal | None = None

    # Of each of these None says that it is not known.

    @property
    def solvent(self) -> bool | None:
        """Whether it is a solvent or flashes as one; an unknown family may always be one."""
        flashes = self.flash_point_c is not None and self.flash_point_c <= _FLAMMABLE_UP_TO_C
        if self.is_ethanol or self.family == "solvent" or flashes:
            return True
        # What has a formula is one substance: nothing is dissolved in it.
        open_ = self.flash_point_c is None and self.formula is None
        open_ = open_ and self.family in _OFTEN_WITH_SOLVENT
        return None if self.family is None or open_ else False

    @property
    def wet(self) -> bool | None:
        """Whether it brings more than 1 % of water, crystal water counted."""
        if self.family == "water" or any(atoms == _WATER for atoms in self._parts()):
            return True
        if self.water_percent is not None:
            return self.water_percent > _DAMPEST_PERCENT
        return None if self.family in (None, "resinate", "other") else False

    @property
    def oxidises(self) -> bool | None:
        """Whether it takes up oxygen and warms by it."""
        if self.autoxidising is not None:
            return self.autoxidising
        return None if self.family in (None, "drying-oil", "other-oil", "other") else False

    @property
    def carbonate(self) -> bool | None:
        """Whether it gives off carbonic gas with an acid."""
        if self.formula is not None:
            return "CO3" in plain_formula(self.formula)
        return None if self.family == "base" else False

    @property
    def lime(self) -> bool | None:
        """Whether it is an oxide or hydroxide of calcium or its like."""
        if self.formula is not None:
            atoms = set(self._parts()[0])
            return bool(atoms & _LIME) and "O" in atoms and atoms <= _LIME | {"O", "H"}
        return None if self.family in ("base", "oxide") else False

    @property
    def caustic(self) -> bool | None:
        """Whether it is a strong alkali, as any base is but carbonates and lime."""
        if self.formula is None:
            return None if self.family == "base" else False
        atoms = set(self._parts()[0])
        hydroxide = bool(atoms & _ALKALI) and {"O", "H"} <= atoms <= _ALKALI | {"O", "H"}
        return hydroxide or (self.family == "base" and not self.carbonate and not self.lime)

    @property
    def acetate(self) -> bool | None:
        """Whether it holds acetic acid that heat drives off."""
        if self.formula is not None:
            return any(each in plain_formula(self.formula) for each in _ACETATES)
        return None if self.family == "salt" else False

    @property
    def harmful_salt(self) -> bool | None:
        """Whether it is a salt of a metal that harms when swallowed or in water."""
        if self.family != "salt":
            return False
        if self.formula is None:
            return None
        return any(not _HARMFUL.isdisjoint(atoms) for atoms in self._parts())

    def holds(self, element: str, *, unsure: frozenset[str]) -> bool | None:
        """Whether an element is in it; without a formula these families may hold it."""
        if self.formula is not None:
            return any(element in atoms for atoms in self._parts())
        return None if self.family in unsure else False

    def _parts(self) -> tuple[dict[str, int], ...]:
        return () if self.formula is None else _atoms_of(self.formula)


class PlannedStep(NamedTuple):
    """What is planned to be done.

    Fields: line [1, 1 to 9999; number of the line]; stage [text, as in the lines]; do [one of
    `planned_work()`]; to_c [°C, -100 to 1000; to which it is heated or cooled, or at which it is
    held], None if not known.
    """

    line: int
    stage: str
    do: str
    to_c: Decimal | None = None


class StageFill(NamedTuple):
    """How full the kettle stands in a stage.

    Fields: stage [text, as in the lines]; hot_percent [%, 0-1000; as hot as the stage gets], None
    if not known; cold_percent [%, 0-1000; the same charge at 20 °C], None if not known.
    """

    stage: str
    hot_percent: Decimal | None = None
    cold_percent: Decimal | None = None


class Fill(NamedTuple):
    """How full the kettle stands, hot and cold, None where not known; `own`: in this very stage."""

    hot_percent: Decimal | None
    cold_percent: Decimal | None
    own: bool = False


class Warmth(NamedTuple):
    """How hot the kettle is: at least, and at most where that is known."""

    least_c: Decimal
    most_c: Decimal | None

    def above(self, limit_c: Decimal | int) -> bool | None:
        """Whether it is hotter than a limit."""
        if self.least_c > limit_c:
            return True
        return None if self.most_c is None or self.most_c > limit_c else False

    def reaches(self, limit_c: Decimal | int) -> bool | None:
        """Whether it comes to a limit or past it."""
        return self.least_c == limit_c or self.above(limit_c)

    def after(self, step: PlannedStep) -> "Warmth":
        """How hot it is once a step is done."""
        if step.do not in (*_ON_THE_FIRE, "cool"):
            return self
        if step.to_c is not None:
            return Warmth(step.to_c, step.to_c)
        if step.do == "cool":
            return Warmth(min(_ROOM_C, self.least_c), self.most_c)
        # What nobody heated before is held at a warmth that the plan does not say.
        return self if step.do == "hold" and self != _ROOM else Warmth(self.least_c, None)

    def or_hotter(self, other: "Warmth") -> "Warmth":
        """The hotter of two."""
        least = max(self.least_c, other.least_c)
        if self.most_c is None or other.most_c is None:
            return Warmth(least, None)
        return Warmth(least, max(self.most_c, other.most_c))


_ROOM = Warmth(_ROOM_C, _ROOM_C)


class Stage(NamedTuple):
    """One stage: what goes in, what is in by its end, and how hot it gets.

    `fire` is how hot it gets while it is heated or held, None where it is neither; `hottest`
    counts the heat that it came with.
    """

    name: str
    lines: tuple[PlannedLine, ...]
    steps: tuple[PlannedStep, ...]
    kettle: tuple[PlannedLine, ...]
    came_with: Warmth
    hottest: Warmth
    fire: Warmth | None

    @property
    def cooked(self) -> bool | None:
        """Whether it is cooked on an open fire, which a water bath is not."""
        if self.fire is None or self.name == COOK:
            return self.fire is not None
        return self.fire.above(100)

    @property
    def poured_at_c(self) -> Decimal | None:
        """How hot it is by the plan when something is poured in; None where that is not known."""
        cooled = [step.to_c for step in self.steps if step.do == "cool"]
        return cooled[0] if cooled and self.fire is None else self.hottest.most_c

    @property
    def on_fire(self) -> tuple[int, ...]:
        """The lines of the steps that heat, or of what goes in where only the stage says so."""
        found = tuple(step.line for step in self.steps if step.do in _ON_THE_FIRE)
        return found or tuple(each.line for each in self.lines or self.steps)


class Plan:
    """The stages of a batch in their order, the heat of one carried into the next."""

    def __init__(self, lines: Sequence[PlannedLine], steps: Sequence[PlannedStep]) -> None:
        self.lines, self.steps = tuple(lines), tuple(steps)

    def stages(self) -> Iterator[Stage]:
        """The stages one after the other."""
        kettle: tuple[PlannedLine, ...] = ()
        warmth = _ROOM
        for name in self._order():
            lines = tuple(each for each in self.lines if each.stage == name)
            steps = tuple(each for each in self.steps if each.stage == name)
            kettle += lines
            if name == THIN and warmth == _ROOM:  # a varnish that this plan did not heat itself
                warmth = Warmth(_ROOM_C, None)
            met = list(_warmths(name, steps, warmth))
            fire = [each for each, heats in met if heats]
            yield Stage(
                name,
                lines,
                steps,
                kettle,
                warmth,
                _hottest([warmth, *(each for each, _ in met)]),
                _hottest(fire) if fire else None,
            )
            warmth = met[-1][0] if met else warmth

    def _order(self) -> list[str]:
        """As the steps have it; a stage without steps stands behind the one its lines follow."""
        order = list(dict.fromkeys(step.stage for step in self.steps))
        # The first line has none to follow: it stands behind the last step with a lower number.
        earlier = [step.stage for step in self.steps if step.line < self.lines[0].line]
        before = earlier[-1] if earlier else None
        for line in self.lines:
            if line.stage not in order:
                order.insert(0 if before is None else order.index(before) + 1, line.stage)
            before = line.stage
        return order


@functools.lru_cache(maxsize=512)
def _atoms_of(formula: str) -> tuple[dict[str, int], ...]:
    return tuple(part.atoms for part in formula_parts(formula))


def _warmths(
    name: str, steps: Sequence[PlannedStep], came_with: Warmth
) -> Iterator[tuple[Warmth, bool]]:
    """How hot it is after each step, and whether that step heats."""
    warmth = came_with
    if name in _HOT_STAGES and not any(step.do == "heat" or _held_at(step) for step in steps):
        warmth = Warmth(warmth.least_c, None)
        yield warmth, True
    for step in steps:
        warmth = warmth.after(step)
        yield warmth, step.do in _ON_THE_FIRE


def _held_at(step: PlannedStep) -> bool:
    return step.do == "hold" and step.to_c is not None


def _hottest(warmths: Sequence[Warmth]) -> Warmth:
    found = warmths[0]
    for each in warmths[1:]:
        found = found.or_hotter(each)
    return found


def families() -> tuple[str, ...]:
    """List the families that materials belong to.

    Parameters: none. Raises: nothing. Returns: their words. Source: common practice of the trade.

    >>> families()[0]
    'drying-oil'
    """
    return _FAMILIES


def planned_work() -> tuple[str, ...]:
    """List what a step can be.

    Parameters: none. Raises: nothing. Returns: the words. Source: common practice of the trade.

    >>> planned_work()[:3]
    ('heat', 'hold', 'cool')
    """
    return _WORK
