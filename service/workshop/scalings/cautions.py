"""The cautions that a charge calls for."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from service.errors import Remedy, at
from service.science.cautions import caution
from service.science.errors import ScienceError
from service.science.fire import BELOW_AUTOIGNITION_K, BELOW_BOILING_K, pour_limit
from service.science.rounding import decimal_of, plain, round_significant
from service.web.amounts import litres
from service.workshop.materials.queries import by_codes
from service.workshop.recipes.composition import Known
from service.workshop.scalings.bodies import CautionOut
from service.workshop.scalings.makes import Outcome
from service.workshop.scalings.plan import Plan
from service.workshop.scalings.rules import FULLEST, KettleTooSmall

ETHANOL_CAS = "64-17-5"


def cautions(plan: Plan, found: Outcome) -> list[CautionOut]:
    """Raises KettleTooSmall for a charge that cannot be."""
    return [
        *(_said("open-cook", line=step.line) for step in plan.hot),
        *_solvents(plan),
        *_headroom(plan, found),
        *_rags(plan),
    ]


def _said(
    rule: str, *, line: int | None = None, limit: str | None = None, note: str | None = None
) -> CautionOut:
    return CautionOut(line=line, text=caution(rule, limit).text, rule=rule, note=note)


def _rags(plan: Plan) -> Iterator[CautionOut]:
    if plan.of.autoxidising({line.material for line in plan.lines}):
        yield _said("oily-rags")


def _solvents(plan: Plan) -> Iterator[CautionOut]:
    for line in plan.lines:
        if line.stage == "thin" and plan.of.family(line.material) == "solvent":
            limit, note = _pour(plan, line.material)
            rule = "solvent-into-hot-varnish"
            yield _said(rule, line=line.line, limit=limit, note=note)


def _pour(plan: Plan, material: str) -> tuple[str | None, str | None]:
    """How hot the varnish may be for this solvent, and the footnote; neither where unknown."""
    boils = _known(plan, "boiling_point", material)
    if boils is None:
        return None, None
    ignites = _known(plan, "autoignition", material)
    ethanol = by_codes(plan.session, [material])[material].cas == ETHANOL_CAS
    try:
        limit = pour_limit(
            decimal_of(boils.value),
            ethanol=ethanol,
            autoignition_c=None if ignites is None else decimal_of(ignites.value),
        ).limit_c
    except ScienceError:  # a figure outside what the rule holds for
        return None, None
    inputs = [known.as_json() for known in (boils, ignites) if known is not None]
    how = f"initial boiling point {boils.shown} °C less {BELOW_BOILING_K} K"
    if ignites is not None:
        how += f", autoignition {ignites.shown} °C less {BELOW_AUTOIGNITION_K} K, the lower of both"
    if ethanol:
        how += "; ethanol at most 40 °C"
    note = {"basis": "calculated", "how": how, "from": inputs, "source": "common practice"}
    return f"{plain(limit)} °C", plan.notes.add("pour", note)


def _known(plan: Plan, name: str, material: str) -> Known | None:
    lot = plan.of.lots.get(material)
    chain = [("lot", lot)] if lot else []
    label = {"boiling_point": "initial boiling point", "autoignition": "autoignition temperature"}
    return plan.of.known(name, label[name], *chain, ("material", material))


def _headroom(plan: Plan, found: Outcome) -> Iterator[CautionOut]:
    """Speaks of a kettle more than half full, cold and thinned. Raises KettleTooSmall."""
    kettle, known = plan.kettle, found.density
    if kettle is None or kettle.holds_ul is None or known is None:
        return
    charged = sum((line.charged for line in plan.charges), Fraction(0))
    full = found.mass_g * charged / known.value * 1000 / kettle.holds_ul
    if full > 1:
        half_g = FULLEST * kettle.holds_ul / 1000 * known.value / charged
        raise _too_small(kettle.code, kettle.holds_ul, half_g=half_g)
    if full > FULLEST and plan.hot:
        limit = f"{plain(round_significant(decimal_of(100 * full), 2))} %"
        yield _said("kettle-headroom", limit=limit, note=_full_note(plan, known))


def _full_note(plan: Plan, known: Known) -> str:
    note: dict[str, Any] = {
        "basis": "calculated",
        "how": "all that is charged, thinner too, at 20 °C over what the kettle holds",
        "from": [known.as_json()],
    }
    return plan.notes.add("headroom", note)


def _too_small(code: str, holds_ul: int, *, half_g: Fraction) -> KettleTooSmall:
    holds = litres(holds_ul)
    text = f"{holds.value} {holds.unit}" if holds else ""
    wrong = f"{code} holds {text}; cold and thinned, the charge is more."
    mass = f"{int(half_g)} g"
    way = Remedy(f"make {mass}, which leaves half of the kettle empty", {"for": mass})
    hint = "Name a larger kettle, or make less."
    remedies = (way,) if int(half_g) else ()
    fault = at("#/for", wrong, "kettle-too-small", hint=hint, remedies=remedies)
    return KettleTooSmall(wrong, fault)
