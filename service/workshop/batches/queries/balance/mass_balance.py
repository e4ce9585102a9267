"""The mass balance of a batch, and what it cost."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from service.office.workshop_card.queries import card
from service.science.rounding import plain, round_half_even
from service.store.session import ReadSession
from service.web.fields import Figure
from service.web.footnotes import Footnotes
from service.workshop.batches._tables import Batch, Weighing, Yield
from service.workshop.batches.bodies.plans import BalanceLine, Cost, MassBalanceOut, StageTaken
from service.workshop.batches.queries.balance.closing import of_batch
from service.workshop.batches.queries.plan.targets import Aim, aims, followed, theory_mg
from service.workshop.batches.queries.record import records
from service.workshop.batches.queries.record.shown import figure, grams, kilograms, leaving, percent
from service.workshop.batches.queries.stages.shown_stages import shown_balance, shown_stages
from service.workshop.batches.rules import yield_percent
from service.workshop.stock import queries as stock


@dataclass(frozen=True, slots=True)
class Spent:
    """What the lots drawn cost; where some have no price, it is at least that."""

    total: Fraction
    without_price: int

    @property
    def at_least(self) -> bool:
        return self.without_price > 0


def cost(session: ReadSession, batch: Batch) -> Spent:
    """What was weighed in, at the prices of the lots it came from; losses are inside."""
    drawn = records.charged(session, batch.code)
    lots = stock.lots_by_id(session, [entry.lot for entry in drawn])
    prices = stock.unit_prices(session, list(lots.values()))
    total, unknown = Fraction(0), 0
    for entry in drawn:
        per = prices[entry.lot]
        if per is None:
            unknown += 1
        else:
            total += per * entry.amount_mg
    return Spent(total, unknown)


def _shown_cost(session: ReadSession, batch: Batch) -> Cost | None:
    if not stock.sees_costs(session):
        return None
    spent = cost(session, batch)
    return Cost(
        value=plain(round_half_even(spent.total, Decimal("0.01"))),
        unit=card(session).currency,
        at_least=spent.at_least,
        lines_without_price=spent.without_price,
    )


def mass_balance(session: ReadSession, batch: Batch) -> MassBalanceOut:
    """What went in beside what came out, each figure with its basis."""
    entries = records.weighings(session, batch)
    charged = sum(entry.amount_mg for entry in entries)
    out = records.yield_of(session, batch)
    plan, should = followed(session, batch), theory_mg(session, batch)
    found = of_batch(session, batch)
    notes = Footnotes()
    notes.add("charged", {"basis": "measured", "method": "weighed in, all lines"})
    charge = "as planned" if plan["scaling"] == batch.scaling else f"by {plan['scaling']}"
    how = f"charged {charge}, less {leaving(plan)}"
    theory = notes.add("theory", {"basis": "calculated", "how": how})
    return MassBalanceOut(
        batch=batch.code,
        state=batch.state,
        lines=_lines(session, batch, entries),
        charged=kilograms(charged, "measured", "charged"),
        yield_=None if out is None else _measured(out),
        theory=kilograms(should, "calculated", theory),
        difference=None if out is None else kilograms(charged - out.amount_mg, "calculated"),
        loss=_loss(charged, out),
        of_theory=None if out is None else percent(yield_percent(out.amount_mg, should)),
        taken_out=_taken(session, batch),
        closing=None if found is None else shown_balance(found),
        planned_losses={"cook": plan["loss_cook"], "strain": plan["loss_strain"]},
        leaving=plan.get("losses", []),
        cost=_shown_cost(session, batch),
        notes=notes.as_json(),
    )


def _taken(session: ReadSession, batch: Batch) -> list[StageTaken]:
    return [
        StageTaken(
            stage=one.stage,
            number=one.number,
            part=part.part,
            mass=part.weighed,
            goes=part.goes,
            lot=part.lot,
        )
        for one in shown_stages(session, batch).values()
        for part in one.out
        if part.goes != "on"
    ]


def _measured(out: Yield) -> Figure:
    return Figure(value=out.entered_value, unit=out.entered_unit, basis="measured")


def _loss(charged_mg: int, out: Yield | None) -> Figure | None:
    if out is None or not charged_mg:
        return None
    return percent(100 - yield_percent(out.amount_mg, charged_mg))


def _lines(session: ReadSession, batch: Batch, entries: list[Weighing]) -> list[BalanceLine]:
    aimed = aims(session, batch, records.lines(session, batch))
    lots = stock.lots_by_id(session, [entry.lot for entry in entries])
    found: dict[tuple[int, str], list[Weighing]] = {}
    for entry in sorted(entries, key=lambda entry: entry.line):
        found.setdefault((entry.line, entry.material), []).append(entry)
    return [
        BalanceLine(
            line=line,
            material=material,
            charged=figure(grams(sum(entry.amount_mg for entry in group)), "measured"),
            target=_target(aimed.get(line)),
            lots=list(dict.fromkeys(lots[entry.lot].number for entry in group)),
        )
        for (line, material), group in found.items()
    ]


def _target(aim: Aim | None) -> Figure | None:
    if aim is None or aim.target_mg is None:
        return None
    return figure(grams(aim.target_mg), "calculated")
