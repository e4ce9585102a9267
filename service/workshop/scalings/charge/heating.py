"""The heat that a charge needs for each heating step, and how long that takes."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from service.science.errors import ScienceError
from service.science.heat import HeatedCharge, heat_needed, heating_time
from service.science.pots import Component
from service.science.rounding import decimal_of, plain, round_significant
from service.web.fields import Amount, Figure
from service.workshop.recipes.queries import Step
from service.workshop.scalings.bodies import HeatOut
from service.workshop.scalings.charge.plan import Plan
from service.workshop.scalings.charge.warmth import ROOM_C


def heats(plan: Plan, mass_g: Fraction) -> list[HeatOut]:
    """The heat and the time of every heating step, from room temperature or the step before."""
    return list(_heats(plan, mass_g * plan.weighs))


def _heats(plan: Plan, grams: Fraction) -> Iterator[HeatOut]:
    pots = {pot.stage: pot for pot in plan.done.pots}
    warmth = ROOM_C
    for step in sorted(plan.steps, key=lambda step: plan.stages.index(step.stage)):
        if step.to_c is None or step.do not in {"heat", "cool"}:
            continue
        if step.do == "heat" and step.to_c > warmth and step.stage in pots:
            yield _heat(plan, step, pots[step.stage].contents, grams=grams, start=warmth)
        warmth = step.to_c


def _heat(
    plan: Plan, step: Step, contents: Sequence[Component], *, grams: Fraction, start: Decimal
) -> HeatOut:
    to_c = step.to_c or start
    needs_kj, why, missing = _needed(plan, contents, grams=grams, start=start, to_c=to_c)
    energy = None
    if needs_kj is not None:
        how = {"basis": "calculated", "how": f"mass x heat capacity x rise; {why}"}
        energy = Figure(
            value=plain(round_significant(needs_kj, 3)),
            unit="kJ",
            basis="calculated",
            note=plan.notes.add("heat", how),
        )
        missing = _unpowered(plan)
    time = _time(plan, step, needs_kj, rise_k=to_c - start)
    to = Amount(value=plain(to_c), unit="°C")
    return HeatOut(line=step.line, to=to, energy=energy, time=time, missing=missing)


def _needed(
    plan: Plan, contents: Sequence[Component], *, grams: Fraction, start: Decimal, to_c: Decimal
) -> tuple[Decimal | None, str, list[str]]:
    """The heat in kJ and where it comes from, or what it lacks."""
    missing: list[str] = []
    charge = []
    for one in contents:
        known = plan.of.value("heat_capacity", one.name) if one.substance else None
        if known is None:
            missing.append(f"heat capacity of {one.name}")
        else:
            charge.append(HeatedCharge(decimal_of(one.mass * grams), decimal_of(known.value)))
    if missing or not charge:
        return None, "", missing
    try:
        heat = heat_needed(charge, start, end_c=to_c)
    except ScienceError:  # colder or hotter than heat capacities hold for
        return None, "", [f"heat capacity from {plain(start)} to {plain(to_c)} °C"]
    return heat.heat_kj, heat.why, []


def _unpowered(plan: Plan) -> list[str]:
    kettle = plan.kettle
    if kettle is not None and None not in (kettle.power_w, kettle.efficiency_percent):
        return []
    return [f"power and efficiency of {kettle.code if kettle else 'a kettle'}"]


def _time(plan: Plan, step: Step, heat_kj: Decimal | None, *, rise_k: Decimal) -> Figure | None:
    """By the power of the kettle or by the ramp, whichever takes longer."""
    power, ramp = _by_power(plan, heat_kj), _by_ramp(step, rise_k)
    if ramp is not None and (power is None or ramp[0] > power[0]):
        slower = "where it has not the power for it, longer"
        if power is not None:
            slower = f"by its power {plain(round_significant(power[0], 2))} min"
        return _minutes(plan, "ramp", ramp[0], f"{ramp[1]}; {slower}")
    return None if power is None else _minutes(plan, "time", *power)


def _minutes(plan: Plan, name: str, minutes: Decimal, how: str) -> Figure:
    note = plan.notes.add(name, {"basis": "calculated", "how": how})
    value = plain(round_significant(minutes, 2))
    return Figure(value=value, unit="min", basis="calculated", note=note)


def _by_power(plan: Plan, heat_kj: Decimal | None) -> tuple[Decimal, str] | None:
    kettle = plan.kettle
    if heat_kj is None or kettle is None:
        return None
    if kettle.power_w is None or kettle.efficiency_percent is None:
        return None
    found = heating_time(heat_kj, kettle.power_w, efficiency_percent=kettle.efficiency_percent)
    how = f"heat over {plain(kettle.power_w)} W x {plain(kettle.efficiency_percent)} %; {found.why}"
    return found.minutes, how


def _by_ramp(step: Step, rise_k: Decimal) -> tuple[Decimal, str] | None:
    if not step.ramp_k_min:
        return None
    return rise_k / step.ramp_k_min, f"{plain(rise_k)} K at {plain(step.ramp_k_min)} K/min"
