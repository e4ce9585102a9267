"""What calls for each caution of the bench: a stage goes in, the facts that switch it on come out.

A fact that is not known calls for the caution as much as one that is so.
"""

import functools
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import NamedTuple

from service.science.bench_plan import Fill, PlannedLine, Stage
from service.science.cook_plans import damp_addition
from service.science.errors import ScienceError
from service.science.fire import BELOW_AUTOIGNITION_K, HOTTEST_FOR_ETHANOL_C, planned_pour
from service.science.kettle import FULLEST_PERCENT
from service.science.rounding import plain, round_significant
from service.science.tables import rows

_RESINS = frozenset({"resin", "resinate", "balsam"})
_OILS = frozenset({"drying-oil", "other-oil"})
_MOLTEN = _RESINS | _OILS | {"wax"}
_QUIET = _OILS | {"solvent", "wax", "pigment"}  # these do not foam by themselves
_DOES_NOT_BURN = frozenset({"pigment", "base", "oxide", "salt", "water"})
_WITH_METAL = frozenset({"drier", "oxide", "salt"})
_WATER_BOILS_C = 100
_ROSIN_FUMES_C = 200
_COLDEST_POUR_C = Decimal(-20)
_LONGEST_NAME = 60


class Fact(NamedTuple):
    """One reason for a caution: the lines, in words, whether it is known, the figure it sets."""

    lines: tuple[int, ...]
    why: str
    known: bool = True
    limit: Decimal | None = None


Rule = Callable[[Stage, Fill], Iterator[Fact]]
Told = bool | None


def _both(one: Told, other: Told) -> Told:
    """Whether both are so: no where one is not, not known where one is not known."""
    if one is False or other is False:
        return False
    return None if one is None or other is None else True


def _any(found: Iterable[Told]) -> Told:
    """Whether one is so."""
    told = set(found)
    return True if True in told else None if None in told else False


def _name(line: PlannedLine) -> str:
    return line.material[:_LONGEST_NAME] or f"line {line.line}"


def _each(
    lines: Iterable[PlannedLine], told: Callable[[PlannedLine], Told], *, so: str, open_: str = ""
) -> Iterator[Fact]:
    """A fact for each line that it is so of, or of which it is not known."""
    for line in lines:
        if (found := told(line)) is not False:
            words = so if found else f"{open_} is not known"
            yield Fact((line.line,), words.replace("{}", _name(line)), known=bool(found))


def _shown_c(celsius: Decimal) -> str:
    return f"{plain(round_significant(celsius, 4).normalize())} °C"


def _solvent_into_hot(stage: Stage, _: Fill) -> Iterator[Fact]:
    warm = stage.hottest.above(HOTTEST_FOR_ETHANOL_C)
    for line in stage.lines:
        if _both(line.solvent, warm) is False:
            continue
        limit, lacks = _pour(line)
        if line.solvent is None:
            lacks.append(f"whether {_name(line)} holds solvent is not known")
        if warm is None:
            lacks.append("how hot the charge is by then is not known")
        so = f"{_name(line)} goes into a charge that was at {_shown_c(stage.hottest.least_c)}"
        planned_c = stage.poured_at_c
        if limit is not None and planned_c is not None and planned_c < limit:
            so += f", {_shown_c(planned_c)} by the plan and {_shown_c(limit)} at most"
            limit = planned_c
        yield Fact((line.line,), " and ".join(lacks) or so, limit is not None, limit)


def _pour(line: PlannedLine) -> tuple[Decimal | None, list[str]]:
    """The hottest a pour may be planned, or what is missing for it."""
    most = f"; spirit goes in at {HOTTEST_FOR_ETHANOL_C} °C at most" if line.is_ethanol else ""
    if line.boiling_point_c is None:
        return None, [f"the boiling point of {_name(line)} is not known{most}"]
    try:  # the coldest plan of all: what is refused of it is refused of every pour
        found = planned_pour(
            _COLDEST_POUR_C,
            line.boiling_point_c,
            autoignition_c=line.autoignition_c,
            ethanol=line.is_ethanol,
        )
    except ScienceError:
        return None, [f"a limit for {_name(line)} is not known from its figures{most}"]
    return found.limit_c, []


def _solvent_heated(stage: Stage, _: Fill) -> Iterator[Fact]:
    for line in stage.kettle if stage.fire else ():
        flash = line.flash_point_c
        past = None if flash is None or not stage.fire else stage.fire.reaches(flash)
        told = _both(line.solvent, past)
        if told is False:
            continue
        why = f"{_name(line)} is in the kettle while it is heated"
        if told is None:
            open_ = "its flash point" if flash is None else "how hot it gets"
            why += f", and {'whether it is a solvent' if line.solvent is None else open_}"
            why += " is not known"
        yield Fact((line.line, *stage.on_fire), why, bool(told), flash if told else None)


def _near_autoignition(stage: Stage, _: Fill) -> Iterator[Fact]:
    for line in stage.kettle if stage.fire else ():
        ignites = line.autoignition_c
        from_c = _ignites_from_c(line) if ignites is None else ignites
        if from_c is None or not stage.fire:
            continue
        near = stage.fire.above(from_c - BELOW_AUTOIGNITION_K)
        if near is False:
            continue
        if ignites is None:
            why = f"the autoignition of {_name(line)} is not known"
        elif near:
            why = f"the plan comes within {BELOW_AUTOIGNITION_K} K of the autoignition of "
            why += _name(line)
        else:
            why = f"how near it comes to the autoignition of {_name(line)} is not known"
        known = bool(near) and ignites is not None
        yield Fact((line.line, *stage.on_fire), why, known, ignites if known else None)


def _ignites_from_c(line: PlannedLine) -> Decimal | None:
    """The lowest of its like, where its own is not known; None for what does not burn."""
    if line.family in _DOES_NOT_BURN:
        return None
    # Oil and resin are cooked far hotter than any solvent ignites: they are measured by the oils.
    return _lowest_ignition_c("oil" if line.family in _OILS | {"resin", "resinate"} else "")


@functools.cache
def _lowest_ignition_c(kind: str) -> Decimal:
    known = [
        Decimal(row["autoignition_c"])
        for row in rows("fire_points.csv")
        if row["autoignition_c"] and kind in ("", row["kind"])
    ]
    return min(known)


def _damp(stage: Stage, _: Fill) -> Iterator[Fact]:
    hot = stage.hottest.above(_WATER_BOILS_C)
    molten = _any(None if line.family is None else line.family in _MOLTEN for line in stage.kettle)
    # What was heated past 100 °C before has lost its water already.
    dried = not stage.fire or stage.came_with.above(_WATER_BOILS_C) is True
    for line in stage.lines if dried else stage.kettle:
        told = _both(_both(line.wet, molten), hot)
        if told is not False:
            open_ = "how hot the charge is" if hot is None else f"whether {_name(line)} is dry"
            words = f"{open_} is not known" if told is None else f"{_name(line)} brings water"
            yield Fact((line.line,), words + _steam(line), bool(told))


def _steam(line: PlannedLine) -> str:
    """How much steam its water makes at 100 °C, at most."""
    percent = Decimal(100) if line.family == "water" else line.water_percent
    if not percent or line.mass_g is None:
        return ""
    found = damp_addition(percent, Decimal(_WATER_BOILS_C), resinate_g=line.mass_g).steam_l
    return f", up to {plain(round_significant(found, 2).normalize())} l of steam"


def _open_cook(stage: Stage, _: Fill) -> Iterator[Fact]:
    if stage.cooked is not False:
        so = "it is cooked" if stage.cooked else "how hot it is heated is not known"
        yield Fact(stage.on_fire, so, bool(stage.cooked))


def _ethanol(stage: Stage, _: Fill) -> Iterator[Fact]:
    lines = stage.kettle if stage.fire else stage.lines
    yield from _each(lines, lambda line: line.is_ethanol, so="{} is spirit")


def _carbonate(stage: Stage, _: Fill) -> Iterator[Fact]:
    resins = [line for line in stage.kettle if line.family is None or line.family in _RESINS]
    resin = _any(None if line.family is None else True for line in resins)
    numbers = tuple(line.line for line in resins)
    entering = set(stage.lines)
    resin_enters = not entering.isdisjoint(resins)
    for line in stage.kettle:
        told = _both(line.carbonate, resin)
        if told is False or not (resin_enters or line in entering):
            continue
        so = f"{_name(line)} meets resin acid"
        words = f"whether {so} is not known" if told is None else so
        yield Fact((line.line, *numbers), words, bool(told))


def _headroom(stage: Stage, fill: Fill) -> Iterator[Fact]:
    if stage.cooked is False:
        return
    fullest = _fullest_percent(stage)
    for percent, when in ((fill.hot_percent, "hot"), (fill.cold_percent, "cold")):
        if percent is not None and percent > fullest:
            shown = plain(round_significant(percent, 3).normalize())
            why = f"the kettle stands {shown} % full when {when}, {fullest} % is the most"
            yield Fact(stage.on_fire, why, True, percent if when == "cold" else None)
            return
    if fill.hot_percent is None:
        yield Fact(stage.on_fire, "how full the kettle stands when hot is not known", False)


def _thinned_headroom(stage: Stage, fill: Fill) -> Iterator[Fact]:
    # Where it is cooked the caution of the cook stands, also for what is not known.
    solvents = tuple(line.line for line in stage.lines if line.solvent)
    known = [each for each in (fill.hot_percent, fill.cold_percent) if each is not None]
    if stage.cooked is not False or not (solvents and known and fill.own):
        return
    percent, fullest = max(known), _fullest_percent(stage)
    if percent > fullest:
        shown = plain(round_significant(percent, 3).normalize())
        why = f"the kettle stands {shown} % full once thinned, {fullest} % is the most"
        yield Fact(solvents, why, True, percent)


def _fullest_percent(stage: Stage) -> Decimal:
    foams = any(line.family not in _QUIET or line.wet for line in stage.kettle)
    return FULLEST_PERCENT["foaming" if foams else "bodying"]


def _copal(stage: Stage, _: Fill) -> Iterator[Fact]:
    run = _copal_runs_c()
    hot = stage.fire.reaches(run) if stage.fire else False
    yield from _each(
        stage.kettle,
        lambda line: _both(line.family == "resin", hot),
        so=f"{{}} is heated to {_shown_c(run)} or more",
        open_="how hot {} is heated",
    )


@functools.cache
def _copal_runs_c() -> Decimal:
    found = {row["material"]: row["usual_from_c"] for row in rows("cook_ceilings.csv")}
    return Decimal(found["hard copal"])


def _rosin(stage: Stage, _: Fill) -> Iterator[Fact]:
    hot = stage.fire.above(_ROSIN_FUMES_C) if stage.fire else False
    yield from _each(
        stage.kettle,
        lambda line: _both(line.family in _RESINS, hot),
        so=f"{{}} is heated above {_ROSIN_FUMES_C} °C",
        open_="how hot {} is heated",
    )


def _settling(stage: Stage, _: Fill) -> Iterator[Fact]:
    yield from _each(
        stage.kettle if any(step.do == "wait" for step in stage.steps) else (),
        lambda line: line.solvent,
        so="{} stands in the vessel while it waits",
        open_="whether {} holds solvent",
    )


def _going_in(told: Callable[[PlannedLine], Told], *, so: str, open_: str = "") -> Rule:
    """A rule about what goes in, in the stage in which it does."""
    return lambda stage, _: _each(stage.lines, told, so=so, open_=open_)


def _heated(told: Callable[[PlannedLine], Told], *, so: str, open_: str = "") -> Rule:
    """A rule about what is in the kettle, in each stage that heats it."""
    return lambda stage, _: _each(stage.kettle if stage.fire else (), told, so=so, open_=open_)


RULES: dict[str, Rule] = {
    "solvent-into-hot-varnish": _solvent_into_hot,
    "cook-above-flash": _solvent_heated,
    "hot-oil-water": _damp,
    "near-autoignition": _near_autoignition,
    "open-cook": _open_cook,
    "ethanol-flame": _ethanol,
    "caustic": _going_in(
        lambda line: line.caustic,
        so="{} is a strong alkali",
        open_="whether {} is a strong alkali",
    ),
    "carbonate-foam": _carbonate,
    "kettle-headroom": _headroom,
    "thinned-headroom": _thinned_headroom,
    "copal-running": _copal,
    "unknown-material": _going_in(
        lambda line: None if line.family is None else False,
        so="",
        open_="the family of {}",
    ),
    "wax-melting": _heated(lambda line: line.family == "wax", so="{} is melted"),
    "oily-rags": _going_in(
        lambda line: line.oxidises,
        so="{} takes up oxygen and warms by it, in any share",
        open_="whether {} takes up oxygen and warms by it",
    ),
    "solvent-in-use": _going_in(
        lambda line: line.solvent,
        so="{} is a solvent or flashes as one",
        open_="whether {} holds solvent",
    ),
    "settling-with-solvent": _settling,
    "rosin-fumes": _rosin,
    "lead": _going_in(
        lambda line: line.holds("Pb", unsure=_WITH_METAL | {"pigment"}),
        so="{} holds lead",
        open_="whether {} holds lead",
    ),
    "acetate-fumes": _heated(
        lambda line: line.acetate,
        so="{} is an acetate and is heated",
        open_="whether {} is an acetate",
    ),
    "lime-dust": _going_in(lambda line: line.lime, so="{} is lime", open_="whether {} is lime"),
    "cobalt-drier": _going_in(
        lambda line: line.holds("Co", unsure=_WITH_METAL),
        so="{} holds cobalt",
        open_="whether {} holds cobalt",
    ),
    "oxide-dust": _going_in(
        lambda line: line.family in ("oxide", "pigment"), so="{} is a fine powder"
    ),
    "metal-salt": _going_in(
        lambda line: line.harmful_salt,
        so="{} is a salt of a metal that harms",
        open_="whether {} is a salt of a metal that harms",
    ),
}
