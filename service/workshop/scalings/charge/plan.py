"""What a scaling starts from: the version worked through, the balance, the kettle, the shelf."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.errors import Fault, Invalid, Remedy, at
from service.office.equipment.queries import of_kind, only
from service.science import units
from service.science.derivations import MADE
from service.science.errors import ScienceError
from service.science.exact import added
from service.science.formulation import HOT, Reading, Worked
from service.science.pots import Substance
from service.science.rounding import plain
from service.store.session import ReadSession
from service.web.footnotes import Footnotes
from service.workshop.recipes import queries as recipes
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.working import Rows, Work, rows_of
from service.workshop.recipes.rules import Charge, NotApproved
from service.workshop.scalings.bodies import KettleIn, ScalingIn
from service.workshop.scalings.charge.losses import Losses, losses, measured_loss
from service.workshop.scalings.charge.measured import acid_readings, check_measured
from service.workshop.scalings.charge.shelf import shelf
from service.workshop.scalings.rules import PlanRefused, ValueNeeded
from service.workshop.stock.queries import OpenLot

GRAM_MG = 1000


@dataclass(frozen=True)
class Balance:
    """What weighs the lines: its code where it is known, its step, and the most it takes."""

    code: str | None
    step_mg: int
    capacity_mg: int | None = None

    @property
    def step_g(self) -> Decimal:
        return Decimal(self.step_mg) / GRAM_MG


@dataclass(frozen=True)
class Kettle:
    """What the charge is made in, what it holds, and what heats it, where that is known."""

    code: str
    holds_ul: int | None
    power_w: Decimal | None = None
    efficiency_percent: Decimal | None = None


@dataclass(frozen=True)
class Plan:
    """A version about to be scaled; `assumed` and `notes` are filled as the work goes on.

    `charges` are per gram of what comes out, `done` per unit of the recipe.
    """

    session: ReadSession
    recipe: recipes.Recipe
    version: recipes.Version
    rows: Rows
    steps: Sequence[recipes.Step]
    charges: Sequence[Charge]
    work: Work
    readings: Sequence[Reading]
    losses: Losses
    balance: Balance
    kettle: Kettle | None
    open: Mapping[str, Sequence[OpenLot]]
    of: Composition
    assumed: dict[str, Any]
    notes: Footnotes
    sent: ScalingIn

    @property
    def lines(self) -> Sequence[recipes.Line]:
        return self.rows.lines

    @property
    def stages(self) -> list[str]:
        """In the order of the work."""
        return [row.stage for row in self.rows.stages]

    @property
    def weighs(self) -> Fraction:
        """What one unit of the recipe weighs in g, for each gram that comes out."""
        unit = added(each.mass or Fraction(0) for each in self.done.charged)
        return added(line.charged for line in self.charges) / unit

    @property
    def done(self) -> Worked:
        """The recipe worked through; a plan is only made where nothing is lacking for it."""
        assert self.work.done is not None
        return self.work.done

    @property
    def hot(self) -> list[recipes.Step]:
        """The steps that heat something in an open kettle."""
        return hot_steps(self.steps)

    def masses_with(self, substance: Substance) -> dict[int, Fraction | None]:
        """By line what a unit of the recipe would weigh in with another substance in its place."""
        try:
            found = self.of.work_rows(
                self.rows,
                makes_density_kg_l=_density(self.of, self.recipe.makes, self.sent),
                instead={substance.name: substance},
                readings=self.readings,
            )
        except ScienceError:  # it could not be made so
            return {}
        return {each.line: each.mass for each in found.done.charged} if found.done else {}

    def reworked(self, readings: Sequence[Reading]) -> "Plan":
        """The same plan after what was measured in the pot: as much is lost of all of it."""
        work = _worked(self.of, self.rows, self.recipe.makes, self.sent, readings)
        more = self.weighs * self.done.makes
        scaled = [line._replace(charged=line.charged * more) for line in work.charges]
        return replace(self, work=work, charges=scaled, readings=readings)


def hot_steps(steps: Sequence[recipes.Step]) -> list[recipes.Step]:
    return [step for step in steps if step.do == "heat" and step.stage in HOT]


def plan(session: ReadSession, code: str, wanted: ScalingIn, reserved: Mapping[int, int]) -> Plan:
    """What is `reserved` of a lot (by its key) is not there. Raises UnknownRecipe, UnknownVersion,
    NotApproved, NotInUse, ValueNeeded, PlanRefused, Invalid."""
    recipe = recipes.recipe(session, code)
    assumed: dict[str, Any] = {}
    version = _version(session, recipe, wanted=wanted, assumed=assumed)
    rows, steps = rows_of(session, version), recipes.steps(session, version)
    recipes.check_in_use(session, recipe, version, [line.material for line in rows.lines])
    held = shelf(session, rows.lines, wanted, reserved)
    of = _composition(session, held, wanted)
    of.load(held, beside=[recipe.makes])  # all of it at once, however many lines there are
    check_measured(wanted, [row.stage for row in rows.stages])
    lost = losses(rows, sent=wanted, assumed=assumed)
    rows = replace(rows, instead=lost.instead)
    readings = acid_readings(wanted)
    work = _worked(of, rows, recipe.makes, wanted, readings)
    charges = measured_loss(session, version, work.charges, sent=wanted, assumed=assumed)
    return Plan(
        session=session,
        recipe=recipe,
        version=version,
        rows=rows,
        steps=steps,
        charges=charges,
        work=work,
        readings=readings,
        losses=lost,
        balance=_balance(session, wanted, assumed=assumed),
        kettle=_kettle(session, wanted, hot=hot_steps(steps), assumed=assumed),
        open=held,
        of=of,
        assumed=assumed,
        notes=Footnotes(),
        sent=wanted,
    )


def _composition(
    session: ReadSession, held: Mapping[str, Sequence[OpenLot]], wanted: ScalingIn
) -> Composition:
    """What the lines are made of, by the lots and the versions that feed them."""
    return Composition(
        session,
        {material: lots[0].lot.number for material, lots in held.items() if lots},
        {code: one.version for code, one in wanted.choose.items() if one.version is not None},
    )


def _worked(
    of: Composition,
    rows: Rows,
    makes: str,
    wanted: ScalingIn,
    readings: Sequence[Reading],
) -> Work:
    """The version worked through. Raises ValueNeeded, PlanRefused."""
    try:
        found = of.work_rows(
            rows,
            makes_density_kg_l=_density(of, makes, wanted),
            readings=readings,
        )
    except ScienceError as error:
        wrong, hint = sentence(error.message), sentence(error.hint)
        raise PlanRefused(wrong, at("#", wrong, error.code, hint=hint)) from None
    if found.done is None:
        raise _needed(found.lacking, makes)
    return found


def _density(of: Composition, makes: str, wanted: ScalingIn) -> Decimal | None:
    """Of what is made: as sent, else as its material has it."""
    if wanted.density is not None:
        return units.canonical(wanted.density)
    return of.density_figure(makes)


def sentence(text: str) -> str:
    """What the science says, as a sentence of its own."""
    return f"{text[:1].upper()}{text[1:]}."


def _needed(lacking: Any, makes: str) -> ValueNeeded:
    """The refusal that names every value a derived line waits for."""
    faults = tuple(
        Fault(
            f"Line {lacking.line} needs the {what} of {makes if name == MADE else name}.",
            "value-needed",
            "#",
            hint=_where(name, makes),
        )
        for name, what in lacking.missing
    )
    return ValueNeeded(" ".join(fault.detail for fault in faults), faults)


def _where(name: str, makes: str) -> str:
    if name == MADE:
        return f"Send `density`, or record it: POST /v1/materials/{makes}/figures."
    return f"Record it: POST /v1/materials/{name}/figures, or as a figure of its lot."


def _version(
    session: ReadSession, recipe: recipes.Recipe, *, wanted: ScalingIn, assumed: dict[str, Any]
) -> recipes.Version:
    try:
        version = recipes.version_of(session, recipe, wanted.version)
    except NotApproved as refusal:
        raise _not_approved(session, recipe.code, refusal.detail) from None
    if wanted.version is None:
        assumed["version"] = version.number
    if version.state == "draft":
        assumed["draft"] = "a look at a draft; no batch is made from it"
    return version


def _not_approved(session: ReadSession, code: str, wrong: str) -> NotApproved:
    """The refusal, with the newest draft to look at; where all are retired there is none."""
    drafts = [each.number for each in recipes.versions(session, code) if each.state == "draft"]
    if drafts:
        way = Remedy("this is only to look at what the draft needs", {"version": drafts[-1]})
        return NotApproved(wrong, at("#/version", wrong, "recipe-not-approved", remedies=(way,)))
    wrong = f"All versions of {code} are retired."
    hint = f"Draft one: POST /v1/recipes/{code}/versions, and approve it."
    return NotApproved(wrong, at("#/version", wrong, "recipe-not-approved", hint=hint))


def percent(value: Decimal) -> str:
    return f"{plain(value)} %"


def _balance(session: ReadSession, wanted: ScalingIn, *, assumed: dict[str, Any]) -> Balance:
    """The balance named, else the only one there is, else 1 g, which is said."""
    if wanted.balance is not None:
        row = of_kind(session, wanted.balance, "balance", pointer="#/balance")
        if not row.reads_to_mg:  # also where it is less than a milligram
            wrong = f"{row.code} does not say what it reads to."
            hint = f'PATCH /v1/equipment/{row.code} with {{"reads_to": "1 g"}}.'
            raise Invalid(wrong, at("#/balance", wrong, "balance-unread", hint=hint))
        return Balance(row.code, row.reads_to_mg, row.capacity_mg)
    found = only(session, "balance")
    if found is None or not found.reads_to_mg:
        assumed["balance"] = "no single balance is known that says what it reads to: to 1 g"
        return Balance(None, GRAM_MG)
    assumed["balance"] = found.code
    return Balance(found.code, found.reads_to_mg, found.capacity_mg)


def _kettle(
    session: ReadSession,
    wanted: ScalingIn,
    *,
    hot: Sequence[recipes.Step],
    assumed: dict[str, Any],
) -> Kettle | None:
    """The kettle named or asked to be filled, else the only one there is where something is
    cooked."""
    if wanted.kettle is not None:
        row = of_kind(session, wanted.kettle, "kettle", pointer="#/kettle")
    elif isinstance(wanted.for_, KettleIn):
        row = of_kind(session, wanted.for_.kettle, "kettle", pointer="#/for/kettle")
    elif (found := only(session, "kettle") if hot else None) is not None:
        row = found
        assumed["kettle"] = row.code
    else:
        return None
    return Kettle(row.code, row.holds_ul, row.power_w, row.efficiency)
