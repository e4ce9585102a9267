"""Stages as they are shown: their times, masses and yields, what was used, how the mass closes."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.office.equipment import queries as equipment
from service.office.workshop_card.queries import zone
from service.science.rounding import plain, round_half_even
from service.store.columns import Recorded
from service.store.records import corrections_of
from service.store.session import ReadSession
from service.web.amounts import mass
from service.web.fields import Amount, Figure
from service.workshop.batches._tables import Batch
from service.workshop.batches._tables_stages import StageBegun, StageEntry
from service.workshop.batches.bodies.stages import (
    BalanceOut,
    EndOut,
    EquipmentUsed,
    PartOut,
    StageOut,
    StageYield,
    WeighInOut,
)
from service.workshop.batches.queries.balance.closing import Judgement, of_stage
from service.workshop.batches.queries.balance.process import theory_of_stage
from service.workshop.batches.queries.record import records
from service.workshop.batches.queries.record.shown import about, as_entered, figure, grams, percent
from service.workshop.batches.queries.stages.stages import StageWorked, stages, total
from service.workshop.batches.rules import natural_time, yield_percent
from service.workshop.batches.rules.drying import change_percent, constant
from service.workshop.stock import queries as stock


def shown_stages(session: ReadSession, batch: Batch) -> dict[int, StageOut]:
    """Every stage of a batch by its number."""
    worked = stages(session, batch)
    bench = _Shown(session, batch, worked)
    return {one.begun.number: bench.stage(one) for one in worked}


def shown_void(session: ReadSession, batch: Batch, row: StageBegun) -> StageOut:
    """A stage that was voided: what had been said as it began, and nothing of what followed."""
    alone = StageWorked(row, (), (), None, before=None, added=())
    return _Shown(session, batch, [alone]).stage(alone)


def shown_balance(found: Judgement) -> BalanceOut:
    """What is missing of a stage or of a batch, how surely, and whether that was to be expected."""
    closing, between = found.closing, found.expected.remains
    known = closing.balance.standard_uncertainty_g > 0
    ends = None if between is None else [round(between.least), round(between.most)]
    return BalanceOut(
        missing=figure(_grams(closing.balance.difference_g), "calculated"),
        uncertainty=_figure(closing.balance.expanded_uncertainty_g) if known else None,
        at_least=closing.unknown > 0,
        without_readability=closing.unknown,
        closed=closing.balance.closed if known else None,
        expected=None if ends is None else [figure(grams(end), "calculated") for end in ends],
        how=found.expected.how,
        judged=found.judged,
    )


def _grams(value: Decimal) -> Amount:
    return grams(int(value * 1000))


def _figure(value_g: Decimal) -> Figure:
    """An uncertainty to the milligram, never less than it is worth reading."""
    rounded = round_half_even(Fraction(value_g), Decimal("0.001"))
    return Figure(value=plain(rounded), unit="g", basis="calculated")


class _Shown:
    """What the stages of one batch are shown from, read once."""

    def __init__(self, session: ReadSession, batch: Batch, worked: Iterable[StageWorked]) -> None:
        self.session, self.batch = session, batch
        every = [entry for one in worked for entry in _entries(one)]
        self.later = corrections_of(session, every)
        self.begun = corrections_of(session, [one.begun for one in worked])
        self.lots = stock.lots_by_id(session, [entry.lot for entry in every if entry.lot])
        self.planned = dict(records.planned_stages(session, batch))

    def stage(self, one: StageWorked) -> StageOut:
        row = one.begun
        ended = None if one.end is None else one.end.happened_at
        listed = self.planned.get(row.stage)
        found = of_stage(self.session, self.batch, one)
        added = sum(each.mg for each in one.added)
        return StageOut(
            **_traced(row, self.begun.get(row.id)),
            batch=self.batch.code,
            number=row.number,
            entry=row.row_id,
            stage=row.stage,
            state="running" if ended is None else "ended",
            started_at=row.happened_at,
            about=about(row.about_seconds),
            ended_at=ended,
            lasted=None if ended is None else _lasted(row.happened_at, ended),
            planned=_lasting(listed.seconds) if listed and listed.seconds else None,
            entered_at=row.entered_at,
            by=row.by,
            checked_by=row.checked_by,
            in_=self._before(one),
            weighed_in=figure(grams(added), "measured") if added else None,
            balance_used=row.balance,
            equipment=self._used(one),
            weigh_ins=self._weigh_ins(one),
            out=[self._part(entry) for entry in one.out],
            end=None if one.end is None else EndOut(**self._entered(one.end)),
            constant_within=_percents(row.constant_percent),
            constant=_dry(one),
            ready_on=row.ready_on,
            yield_=self._yield(one),
            balance=None if found is None else shown_balance(found),
            remark=row.remark,
        )

    def _entered(self, entry: StageEntry) -> dict[str, Any]:
        return {
            **_traced(entry, self.later.get(entry.id)),
            "entry": entry.row_id,
            "happened_at": entry.happened_at,
            "about": about(entry.about_seconds),
            "entered_at": entry.entered_at,
            "by": entry.by,
            "checked_by": entry.checked_by,
            "remark": entry.remark,
        }

    def _before(self, one: StageWorked) -> Figure | None:
        """As it was weighed, else what the stage before left and was weighed in since."""
        row = one.begun
        if row.entered_value is not None and row.entered_unit is not None:
            return as_entered(row.entered_value, row.entered_unit)
        if not one.before:
            return None
        return figure(grams(sum(each.mg for each in one.before)), "calculated")

    def _used(self, one: StageWorked) -> list[EquipmentUsed]:
        """What it was done with and weighed on, on the days it was used."""
        days = {code: one.begun.happened_at for code in one.begun.equipment}
        used = [(row.balance, row.happened_at) for row in _entries(one)]
        for code, when in ((one.begun.balance, one.begun.happened_at), *used):
            if code is not None:
                days[code] = max(when, days.get(code, when))
        found = equipment.by_codes(self.session, days)
        return [self._piece(found[code], when) for code, when in days.items()]

    def _piece(self, piece: equipment.Equipment, when: datetime) -> EquipmentUsed:
        until, day = piece.calibrated_until, when.astimezone(zone(self.session)).date()
        return EquipmentUsed(
            code=piece.code,
            kind=piece.kind,
            reads_to=mass(piece.reads_to_mg),
            calibrated_until=until,
            lapsed=None if until is None else day > until,
        )

    def _weigh_ins(self, one: StageWorked) -> list[WeighInOut]:
        start = one.charged_mg if one.before else None
        found: list[WeighInOut] = []
        last: int | None = None
        for entry in one.weigh_ins:
            now = entry.amount_mg or 0
            found.append(
                WeighInOut(
                    **self._entered(entry),
                    weighed=_weighed(entry),
                    balance=entry.balance,
                    since_start=percent(change_percent(start, now)) if start else None,
                    since_last=percent(change_percent(last, now)) if last else None,
                )
            )
            last = now
        return found

    def _part(self, entry: StageEntry) -> PartOut:
        return PartOut(
            **self._entered(entry),
            part=entry.part or "other",
            weighed=_weighed(entry),
            balance=entry.balance,
            goes=entry.goes or "on",
            lot=self.lots[entry.lot].number if entry.lot else None,
        )

    def _yield(self, one: StageWorked) -> StageYield | None:
        out_mg, charged = one.out_mg, one.charged_mg
        if out_mg is None:
            return None
        entries = records.weighings(self.session, self.batch)
        theory = theory_of_stage(self.session, self.batch, one.stage, entries)
        on_mg = total(one.goes_on)
        return StageYield(
            out=figure(grams(out_mg), "measured"),
            of_charge=percent(yield_percent(out_mg, charged)) if charged else None,
            theory=figure(grams(theory), "calculated") if theory else None,
            of_theory=percent(yield_percent(on_mg, theory)) if theory else None,
        )


def _entries(one: StageWorked) -> list[StageEntry]:
    return [*one.weigh_ins, *one.out, *([one.end] if one.end else [])]


def _traced(row: Recorded, later: int | None) -> dict[str, Any]:
    return {"corrects": row.corrects, "corrected_by": later, "void": row.void, "reason": row.reason}


def _weighed(entry: StageEntry) -> Figure:
    return as_entered(entry.entered_value or "0", entry.entered_unit or "g")


def _lasting(seconds: int) -> Amount:
    value, unit = natural_time(seconds)
    return Amount(value=str(value), unit=unit)


def _lasted(start: datetime, end: datetime) -> Amount:
    """To the minute: nobody ends a stage by the second."""
    minutes = round((end - start) / timedelta(minutes=1))
    return _lasting(60 * minutes) if minutes else Amount(value="0", unit="min")


def _percents(value: Decimal | None) -> Amount | None:
    return None if value is None else Amount(value=plain(value), unit="%")


def _dry(one: StageWorked) -> bool | None:
    asked = one.begun.constant_percent
    if asked is None or len(one.weigh_ins) < 2:
        return None
    return constant(one.weigh_ins, asked)
