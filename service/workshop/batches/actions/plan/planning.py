"""A batch planned from an approved version: its scaling frozen, its lines numbered."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.errors import at
from service.office.equipment.queries import of_kind
from service.office.people.queries import doer
from service.office.workshop_card.queries import today
from service.science import units
from service.store.session import WriteSession
from service.workshop.batches import queries
from service.workshop.batches._tables import Batch, BatchLine
from service.workshop.batches.actions.plan.allotment import Asking, allot
from service.workshop.batches.actions.plan.pouring import cool_line, stage_of_pour
from service.workshop.batches.bodies.plans import BatchIn, Caution
from service.workshop.batches.queries.plan.targets import aim_of, mg, rounded_to
from service.workshop.batches.rules import THIN, filling, sheet_order, yield_stage
from service.workshop.deviations.bodies import Flag
from service.workshop.materials import queries as materials
from service.workshop.products import queries as products
from service.workshop.recipes import queries as recipes
from service.workshop.recipes.rules import NotApproved
from service.workshop.scalings import actions as scaling_actions
from service.workshop.scalings import queries as scalings
from service.workshop.scalings.bodies import ScalingIn
from service.workshop.scalings.rules import KettleTooSmall, bench_rank
from service.workshop.stock import actions as stock_actions

Frozen = dict[str, Any]
_FILLED = (
    "version",
    "density",
    "balance",
    "kettle",
    "loss_cook",
    "loss_strain",
    "overage",
    "choose",
    "measured",
    "bench",
    "override_reason",
)


@dataclass(frozen=True)
class Planned:
    """A planned batch, what was assumed, and what must be known before the pour."""

    batch: Batch
    assumed: dict[str, Any]
    cautions: list[Caution]
    undecided: list[str]
    flags: list[Flag]


def plan_batch(session: WriteSession, wanted: BatchIn) -> Planned:
    """Raises UnknownRecipe, NotApproved, NotInUse, Retired, IntermediateRetired, UnknownScaling,
    PourTooHot, StockShort, Invalid, and whatever scaling refuses."""
    doer(session, wanted.by)
    reserved, coming = queries.reserved(session), queries.coming(session)
    plan = _scaling(session, wanted, reserved)
    recipe = recipes.recipe(session, plan["recipe"])
    version = recipes.version_of(session, recipe, plan["version"])
    recipes.check_in_use(session, recipe, version, recipes.materials_in(session, [version]))
    if version.state != "approved":
        raise NotApproved(f"Version {version.number} of {version.recipe} is {version.state}.")
    allotted = allot(Asking(session, wanted, plan, reserved, coming))
    batch = _batch(session, wanted, plan)
    lines = _lines(session, version, plan=plan, batch=batch, lots=allotted.lots)
    if allotted.refusal is not None:  # a pour too hot is told first
        raise allotted.refusal
    session.add_all(lines)
    session.flush()  # the sheet of the same request is read from the database
    pours = [line for line in lines if queries.is_pour(line)]
    cautions = [queries.pour_caution(line) for line in pours]
    undecided = [f"pour: initial boiling point of {line.until}" for line in pours if not line.to_c]
    return Planned(batch, _assumed(wanted, plan, batch), cautions, undecided, allotted.flags)


def _scaling(session: WriteSession, wanted: BatchIn, reserved: queries.Reserved) -> Frozen:
    """The frozen content of the scaling named, or of one worked out for this batch."""
    if wanted.scaling is not None:
        found = scalings.scaling(session, wanted.scaling)
        if wanted.recipe not in {None, found["recipe"]}:
            return scalings.shown(session, wanted.recipe or "", wanted.scaling)
        return found
    sent = {name: getattr(wanted, name) for name in _FILLED if name in wanted.model_fields_set}
    asked = ScalingIn.model_validate({"for": wanted.for_, **sent})
    made = scaling_actions.scale(session, wanted.recipe or "", asked, reserved.lots)
    return scalings.scaling(session, made.scaling)


def _batch(session: WriteSession, wanted: BatchIn, plan: Frozen) -> Batch:
    recipe = recipes.recipe(session, plan["recipe"])
    material = materials.material(session, recipe.makes)
    on = wanted.on or today(session)
    if wanted.kettle is not None:
        _check_kettle(session, wanted.kettle, plan)
    row = Batch(
        code=stock_actions.number_for(session, material.lot_prefix, on),
        recipe=recipe.code,
        version=plan["version"],
        material=material.code,
        scaling=plan["scaling"],
        state="planned",
        kettle=wanted.kettle or plan["kettle"],
        asked=plan["asked"]["text"][:80],
        product=plan["asked"].get("product") or _only_product(session, recipe.code),
        target_mg=mg(plan["makes"]["mass"]),
        planned_on=on,
        bench_mode=wanted.bench_mode,
        override_reason=wanted.override_reason,
        created_at=session.now,
    )
    session.add(row)
    session.flush()  # its lines point at it
    return row


def _check_kettle(session: WriteSession, code: str, plan: Frozen) -> None:
    """A kettle that the scaling did not know must hold it. Raises KettleTooSmall, Invalid."""
    kettle = of_kind(session, code, "kettle", pointer="#/kettle")
    volume = plan["makes"]["volume"]
    if volume is None or not kettle.holds_ul:
        return
    makes = units.canonical(units.quantity(volume["value"], volume["unit"], "volume"))
    charged = sum(mg(line["target"]) for line in plan["lines"] if line["target"])
    if filling(makes, charged, mg(plan["makes"]["mass"]), kettle.holds_ul) > 1:
        wrong = f"{kettle.code} does not hold what {plan['scaling']} charges, cold and thinned."
        hint = "Name a larger kettle, or scale to less."
        raise KettleTooSmall(wrong, at("#/kettle", wrong, "kettle-too-small", hint=hint))


def _only_product(session: WriteSession, recipe: str) -> str | None:
    sold = products.products_of_recipe(session, recipe)
    return sold[0].code if len(sold) == 1 else None


def _lines(
    session: WriteSession,
    version: recipes.Version,
    *,
    plan: Frozen,
    batch: Batch,
    lots: Mapping[int, tuple[str, ...]],
) -> list[BatchLine]:
    """Weighings, steps, the pour and the yield, numbered as they were copied, in the order of
    the work."""
    steps = recipes.steps(session, version)
    listed = [row.stage for row in recipes.stages(session, version)]
    lines = [*_weighed(plan, lots), *(_step(step) for step in steps)]
    out = _yield(plan, yield_stage(listed))
    order = sheet_order(listed, [line.stage for line in (*lines, out)])
    number = max(line.line for line in lines)
    added = cool_line(session, version, lines, order)
    for line in (added, out):
        if line is not None:
            number += 1
            line.line = number
            lines.append(line)
    pours = {THIN, stage_of_pour(session, lines, order)}
    lines.sort(
        key=lambda line: (
            order.index(line.stage),
            bench_rank(line.do, pours=line.stage in pours),
            line.line,
        )
    )
    for position, line in enumerate(lines, 1):
        line.batch, line.position = batch.row_id, position
    return lines


def _weighed(plan: Frozen, lots: Mapping[int, tuple[str, ...]]) -> list[BatchLine]:
    """The weighings, each as far off within as the sheet of the scaling says."""
    step = rounded_to(plan)
    return [
        _line(
            line["line"],
            line["stage"],
            "weigh",
            material=line["material"],
            lots=lots[line["line"]],
            condition=line.get("condition"),
            **_aim(line, step),
        )
        for line in plan["lines"]
    ]


def _aim(line: Frozen, step_mg: int | None) -> dict[str, int | None]:
    """What is to be weighed and how far off is within."""
    aim = aim_of(line, step_mg)
    return {"target_mg": aim.target_mg, "tolerance_mg": aim.tolerance_mg}


def _step(step: recipes.Step) -> BatchLine:
    return _line(
        step.line,
        step.stage,
        step.do,
        to_c=step.to_c,
        seconds=step.seconds,
        ramp_k_min=step.ramp_k_min,
        until=step.until,
    )


def _yield(plan: Frozen, stage: str) -> BatchLine:
    return _line(0, stage, "yield", target_mg=mg(plan["makes"]["mass"]))


def _line(number: int, stage: str, do: str, **more: Any) -> BatchLine:
    return BatchLine(batch=0, line=number, position=0, stage=stage, do=do, **more)


def _assumed(wanted: BatchIn, plan: Frozen, batch: Batch) -> dict[str, Any]:
    own: Sequence[tuple[str, Any]] = (
        ("version", batch.version),
        ("on", batch.planned_on.isoformat()),
        ("kettle", batch.kettle),
        ("product", batch.product),
    )
    found = {name: value for name, value in own if getattr(wanted, name, None) is None and value}
    return {**({} if wanted.scaling else plan["assumed"]), **found}
