"""The kettle: how full it stands cold and hot, stage by stage, and what it takes."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.equipment.queries import of_kind
from service.science.bench_plan import StageFill
from service.science.densities import density_at
from service.science.errors import ScienceError
from service.science.exact import added
from service.science.formulation import Pot
from service.science.kettle import FULLEST_PERCENT
from service.science.pots import Substance, total
from service.science.rounding import decimal_of, plain, round_half_even, round_significant
from service.web.amounts import litres
from service.web.fields import Figure
from service.workshop.recipes.inside.inputs import Known
from service.workshop.scalings.bodies import FillOut, ScalingIn
from service.workshop.scalings.charge.heating import heats as heats
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.charge.warmth import Warmth, warmths
from service.workshop.scalings.rules import FULLEST, KettleTooSmall

_FOAMS = frozenset({"resin", "resinate", "balsam", "base", "water", "salt", "oxide"})
_ASSUMED = (
    "volumes at 20 °C are added up, what reactions made as dense as the rest; foam not counted"
)
_HOT = (
    "linear fall of density from 20 °C to how hot each stage is, a stage after a heated one as "
    "warm as that was left, and at most as hot as its solvent may be poured; volumes are added up"
)


@dataclass(frozen=True)
class StageFilling:
    """How full the kettle stands in a stage, as a share of its volume; hot where it is warm."""

    stage: str
    cold: Fraction | None
    hot: Fraction | None
    warm: bool


@dataclass(frozen=True)
class Filling:
    """How full a kettle stands with so many grams of what comes out, as a share of its volume."""

    stages: tuple[StageFilling, ...]
    at_most: Decimal  # percent
    missing: tuple[str, ...]

    @property
    def cold(self) -> Fraction | None:
        return max((each.cold for each in self.stages if each.cold is not None), default=None)

    @property
    def hot(self) -> Fraction | None:
        """The fullest of all stages that are warm; not known where one of them is not."""
        warm = [each.hot for each in self.stages if each.warm]
        known = [share for share in warm if share is not None]
        return max(known, default=None) if len(known) == len(warm) else None

    @property
    def fullest(self) -> Fraction | None:
        return max((each for each in (self.cold, self.hot) if each is not None), default=None)

    @property
    def stage(self) -> str:
        """Where it stands fullest, hot or cold."""
        full = self.fullest
        at = [each.stage for each in self.stages if full in (each.cold, each.hot)]
        return self.stages[-1].stage if full is None else at[0]

    @property
    def hot_stage(self) -> str | None:
        hot = self.hot
        return None if hot is None else next(x.stage for x in self.stages if x.hot == hot)


def filling(plan: Plan, mass_g: Fraction, *, holds_ul: int) -> Filling:
    """Stage by stage, cold and hot."""
    missing: dict[str, None] = {}
    warm = warmths(plan)
    per_ml = grams_per_unit(plan, mass_g) / Fraction(holds_ul, 1000)
    stages = []
    for pot in plan.done.pots:
        cold = _volume_ml(plan, pot, None, missing)
        hot = _hot_ml(plan, pot, warm.get(pot.stage), missing)
        stages.append(
            StageFilling(
                pot.stage,
                cold=None if cold is None else cold * per_ml,
                hot=None if hot is None else hot * per_ml,
                warm=bool(pot.contents) and pot.stage in warm,
            )
        )
    foams = any(one.family in _FOAMS for pot in plan.done.pots for one in pot.contents)
    return Filling(
        stages=tuple(stages),
        at_most=FULLEST_PERCENT["foaming" if foams else "bodying"],
        missing=tuple(missing),
    )


def _hot_ml(
    plan: Plan, pot: Pot, warmth: Warmth | None, missing: dict[str, None]
) -> Fraction | None:
    if warmth is None or not pot.contents:
        return None
    if warmth.to_c is None:
        missing.update(dict.fromkeys(warmth.lacks))
        return None
    return _volume_ml(plan, pot, warmth.to_c, missing)


def fills(plan: Plan, mass_g: Fraction) -> list[StageFill]:
    """How full the kettle stands in each stage, in %; none where it is not known what it holds."""
    kettle = plan.kettle
    if kettle is None or not kettle.holds_ul:
        return []
    found = filling(plan, mass_g, holds_ul=kettle.holds_ul)
    return [
        StageFill(
            each.stage,
            hot_percent=None if each.hot is None else decimal_of(100 * each.hot),
            cold_percent=None if each.cold is None else decimal_of(100 * each.cold),
        )
        for each in found.stages
    ]


def grams_per_unit(plan: Plan, mass_g: Fraction) -> Fraction:
    """What one unit of the recipe weighs in g, so that all lines come to what is charged."""
    return mass_g * plan.weighs


def _volume_ml(
    plan: Plan, pot: Pot, warmth: Decimal | None, missing: dict[str, None]
) -> Fraction | None:
    """The volume of a unit of the recipe in ml to the gram; None with an unknown part. What a
    reaction made counts as dense as the rest."""
    volume, mass, whole = Fraction(0), Fraction(0), True
    for one in pot.contents:
        if one.substance is None:
            continue
        each = _density(plan, one.substance, warmth, missing)
        if each is None:
            whole = False
        else:
            volume, mass = volume + one.mass / each, mass + one.mass
    return volume * total(pot.contents) / mass if whole and mass else None


def _density(
    plan: Plan, one: Substance, warmth: Decimal | None, missing: dict[str, None]
) -> Fraction | None:
    if one.density_kg_l is None:
        missing[f"density of {one.name}"] = None
        return None
    if warmth is None:
        return Fraction(one.density_kg_l)
    slope = plan.of.value("expansion", one.name)
    if slope is None:
        missing[f"expansion of {one.name}"] = None
        return None
    fall = decimal_of(slope.value)
    try:
        return Fraction(density_at(one.density_kg_l, warmth, slope_kg_m3_k=fall))
    except ScienceError:  # so hot that the straight line does not hold
        missing[f"expansion of {one.name} up to {plain(warmth)} °C"] = None
        return None


def shown_fill(plan: Plan, mass_g: Fraction) -> FillOut | None:
    """How full the kettle stands, with what would have to be known for more."""
    kettle = plan.kettle
    if kettle is None or not kettle.holds_ul:
        return None
    found = filling(plan, mass_g, holds_ul=kettle.holds_ul)
    note = {"basis": "calculated", "how": _ASSUMED}
    return FillOut(
        equipment=kettle.code,
        holds=litres(kettle.holds_ul),
        cold=_percent(found.cold, plan.notes.add("fill", note) if found.cold else None),
        hot=_percent(
            found.hot, plan.notes.add("hot", {**note, "how": _HOT}) if found.hot else None
        ),
        at_most=Figure(
            value=plain(found.at_most),
            unit="%",
            basis="handbook",
            note=plan.notes.add("headroom", {"basis": "handbook", "table": "common practice"}),
        ),
        stage=found.stage,
        hot_stage=found.hot_stage,
        missing=list(found.missing),
    )


def _percent(share: Fraction | None, note: str | None) -> Figure | None:
    if share is None:
        return None
    value = plain(round_significant(decimal_of(100 * share), 2))
    return Figure(value=value, unit="%", basis="calculated", note=note)


def check_kettle(plan: Plan, mass_g: Fraction, known: Known | None) -> None:
    """Raises KettleTooSmall for a charge that cannot be in the kettle, cold and thinned; `known` is
    the density of what comes out."""
    kettle = plan.kettle
    if kettle is None or not kettle.holds_ul:
        return
    full = filling(plan, mass_g, holds_ul=kettle.holds_ul).cold or Fraction(0)
    if known is not None:
        charged = added(line.charged for line in plan.charges)
        full = max(full, mass_g * charged / known.value * 1000 / kettle.holds_ul)
    if full > 1:
        ways = _less(int(FULLEST * mass_g / full)) if plan.sent.bench is None else ()
        raise _too_small(kettle.code, kettle.holds_ul, ways=ways)


def _less(half_g: int) -> tuple[Remedy, ...]:
    if not half_g:
        return ()
    mass = f"{half_g} g"
    return (Remedy(f"make {mass}, which leaves half of the kettle empty", {"for": mass}),)


def _too_small(code: str, holds_ul: int, *, ways: tuple[Remedy, ...]) -> KettleTooSmall:
    holds = litres(holds_ul)
    text = f"{holds.value} {holds.unit}" if holds else ""
    wrong = f"{code} holds {text}; cold and thinned, the charge is more."
    hint = "Name a larger kettle, or make less."
    fault = at("#/for", wrong, "kettle-too-small", hint=hint, remedies=ways)
    return KettleTooSmall(wrong, fault)


def largest(plan: Plan, wanted: ScalingIn) -> tuple[Fraction, str, str]:
    """What a kettle takes with its room, in g, and how that was found. Raises Invalid."""
    asked: Any = wanted.for_
    row = of_kind(plan.session, asked.kettle, "kettle", pointer="#/for/kettle")
    if not row.holds_ul:
        wrong = f"{row.code} does not say what it holds."
        hint = f'PATCH /v1/equipment/{row.code} with {{"holds": "12 l"}}.'
        raise Invalid(wrong, at("#/for/kettle", wrong, "kettle-unmeasured", hint=hint))
    found = filling(plan, Fraction(1000), holds_ul=row.holds_ul)
    full = found.fullest
    if full is None:
        wrong = f"What a kilogram of it fills is not known: {', '.join(found.missing)}."
        raise Invalid(wrong, at("#/for/kettle", wrong, "density-needed"))
    mass_g = 1000 * Fraction(found.at_most) / 100 / full
    state = "hot" if found.hot is not None and found.hot == full else "cold"
    how = f"{row.code} {plain(found.at_most)} % full, {state}, in the stage {found.stage}"
    lacks = f"; hot not reckoned without {', '.join(found.missing)}" if found.missing else ""
    return Fraction(round_half_even(mass_g, Decimal(1))), how, lacks
