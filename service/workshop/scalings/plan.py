"""What a scaling starts from: the version, its losses, the balance, the kettle, the open lots."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from service.errors import Invalid, Remedy, at
from service.office.equipment.queries import of_kind, only
from service.science import units
from service.science.rounding import plain
from service.science.units import Quantity
from service.store.session import ReadSession
from service.web.footnotes import Footnotes
from service.workshop.recipes import queries as recipes
from service.workshop.recipes.composition import Composition
from service.workshop.recipes.rules import COOKED, Charge, NotApproved, charges
from service.workshop.scalings.bodies import ScalingIn
from service.workshop.stock.queries import OpenLot, open_lots

HOT = frozenset({"cook", "melt"})
GRAM_MG = 1000


@dataclass(frozen=True)
class Balance:
    """What weighs the lines: its code where it is known, and its step."""

    code: str | None
    step_mg: int

    @property
    def step_g(self) -> Decimal:
        return Decimal(self.step_mg) / GRAM_MG


@dataclass(frozen=True)
class Kettle:
    """What the charge is made in, and what it holds where that is known."""

    code: str
    holds_ul: int | None


@dataclass(frozen=True)
class Plan:
    """A version about to be scaled; `assumed` and `notes` are filled as the work goes on."""

    session: ReadSession
    recipe: recipes.Recipe
    version: recipes.Version
    lines: Sequence[recipes.Line]
    steps: Sequence[recipes.Step]
    charges: Sequence[Charge]
    losses: Mapping[str, Decimal]
    balance: Balance
    kettle: Kettle | None
    open: Mapping[str, Sequence[OpenLot]]
    of: Composition
    assumed: dict[str, Any]
    notes: Footnotes

    @property
    def hot(self) -> list[recipes.Step]:
        """The steps that heat something in an open kettle."""
        return hot_steps(self.steps)


def hot_steps(steps: Sequence[recipes.Step]) -> list[recipes.Step]:
    return [step for step in steps if step.do == "heat" and step.stage in HOT]


def plan(session: ReadSession, code: str, wanted: ScalingIn) -> Plan:
    """Raises UnknownRecipe, UnknownVersion, NotApproved, NotInUse, Invalid."""
    recipe = recipes.recipe(session, code)
    assumed: dict[str, Any] = {}
    version = _version(session, recipe.code, wanted=wanted, assumed=assumed)
    recipes.check_in_use(session, recipe, version)
    lines = recipes.lines(session, version)
    steps = recipes.steps(session, version)
    losses = _losses(version, lines, wanted=wanted, assumed=assumed)
    materials = dict.fromkeys(line.material for line in lines)
    shelf = {material: _by_mass(open_lots(session, material)) for material in materials}
    first = {material: lots[0].lot.number for material, lots in shelf.items() if lots}
    return Plan(
        session=session,
        recipe=recipe,
        version=version,
        lines=lines,
        steps=steps,
        charges=charges(lines, loss_cook=losses["loss_cook"], loss_strain=losses["loss_strain"]),
        losses=losses,
        balance=_balance(session, wanted, assumed=assumed),
        kettle=_kettle(session, wanted, hot=hot_steps(steps), assumed=assumed),
        open=shelf,
        of=Composition(session, first),
        assumed=assumed,
        notes=Footnotes(),
    )


def _by_mass(lots: Sequence[OpenLot]) -> list[OpenLot]:
    return [held for held in lots if held.lot.measure == "mass"]


def _version(
    session: ReadSession, code: str, *, wanted: ScalingIn, assumed: dict[str, Any]
) -> recipes.Version:
    try:
        version = recipes.version(session, code, wanted.version)
    except NotApproved as refusal:
        newest = recipes.versions(session, code)[-1].number
        way = Remedy("this is only to look at what the draft needs", {"version": newest})
        fault = at("#/version", refusal.detail, "recipe-not-approved", remedies=(way,))
        raise NotApproved(refusal.detail, fault) from None
    if wanted.version is None:
        assumed["version"] = version.number
    if version.state == "draft":
        assumed["draft"] = "a look at a draft; no batch is made from it"
    return version


def _losses(
    version: recipes.Version,
    lines: Sequence[recipes.Line],
    *,
    wanted: ScalingIn,
    assumed: dict[str, Any],
) -> dict[str, Decimal]:
    """The losses in percent: as sent, else the recipe's, else none, which is said."""
    cooked = any(line.stage in COOKED for line in lines)
    return {
        "loss_cook": _loss("loss_cook", version.loss_cook, sent=wanted.loss_cook, assumed=assumed)
        if cooked
        else Decimal(0),
        "loss_strain": _loss(
            "loss_strain", version.loss_strain, sent=wanted.loss_strain, assumed=assumed
        ),
    }


def _loss(
    name: str, own: Decimal | None, *, sent: Quantity | None, assumed: dict[str, Any]
) -> Decimal:
    if sent is not None:
        return units.canonical(sent)
    assumed[name] = "0 %, as the recipe states none" if own is None else percent(own)
    return own or Decimal(0)


def percent(value: Decimal) -> str:
    return f"{plain(value)} %"


def _balance(session: ReadSession, wanted: ScalingIn, *, assumed: dict[str, Any]) -> Balance:
    """The balance named, else the only one there is, else 1 g, which is said."""
    if wanted.balance is not None:
        row = of_kind(session, wanted.balance, "balance", pointer="#/balance")
        if row.reads_to_mg is None:
            wrong = f"{row.code} does not say what it reads to."
            hint = f'PATCH /v1/equipment/{row.code} with {{"reads_to": "1 g"}}.'
            raise Invalid(wrong, at("#/balance", wrong, "balance-unread", hint=hint))
        return Balance(row.code, row.reads_to_mg)
    found = only(session, "balance")
    if found is None or found.reads_to_mg is None:
        assumed["balance"] = "no single balance is known that says what it reads to: to 1 g"
        return Balance(None, GRAM_MG)
    assumed["balance"] = found.code
    return Balance(found.code, found.reads_to_mg)


def _kettle(
    session: ReadSession,
    wanted: ScalingIn,
    *,
    hot: Sequence[recipes.Step],
    assumed: dict[str, Any],
) -> Kettle | None:
    """The kettle named, else the only one there is where something is cooked."""
    if wanted.kettle is not None:
        row = of_kind(session, wanted.kettle, "kettle", pointer="#/kettle")
        return Kettle(row.code, row.holds_ul)
    found = only(session, "kettle") if hot else None
    if found is None:
        return None
    assumed["kettle"] = found.code
    return Kettle(found.code, found.holds_ul)
