"""Mass balances of a stage and of a batch: what is missing, how surely, and whether explained."""

from dataclasses import dataclass
from typing import Literal

from service.store.session import ReadSession
from service.workshop.batches._tables import Batch
from service.workshop.batches.queries.balance.masses import Closing, Mass, closing, mass_of
from service.workshop.batches.queries.balance.process import (
    Expected,
    expected_of_batch,
    expected_of_stage,
)
from service.workshop.batches.queries.record import records
from service.workshop.batches.queries.stages.stages import StageWorked, masses, stages
from service.workshop.batches.rules.bands import judged


@dataclass(frozen=True, slots=True)
class Judgement:
    """A closed or open balance beside what the process was to leave."""

    charged_mg: int
    left_mg: int
    closing: Closing
    expected: Expected

    @property
    def judged(self) -> Literal["within", "loss", "gain", "undecided"]:
        """Within the band, give or take what the balances can tell."""
        if self.expected.remains is None:
            return "undecided"
        return judged(self.left_mg, self.expected.remains, self.closing.allow_mg)


def of_stage(session: ReadSession, batch: Batch, worked: StageWorked) -> Judgement | None:
    """What came out of a stage against what was in it; None while either is unknown."""
    charged, out_mg = worked.charged, worked.out_mg
    if charged is None or out_mg is None:
        return None
    found = closing(session, charged, masses(worked.out))
    if found is None:
        return None
    expected = expected_of_stage(session, batch, worked)
    return Judgement(worked.charged_mg or 0, out_mg, found, expected)


def of_batch(session: ReadSession, batch: Batch) -> Judgement | None:
    """The yield, and what stages gave besides, against all that was weighed in; None without
    either."""
    entries = records.weighings(session, batch)
    out = records.yield_of(session, batch)
    if out is None:
        return None
    worked = stages(session, batch)
    taken = [entry for one in worked for entry in one.taken]
    kept = masses(entry for entry in taken if entry.goes == "lot")
    thrown = masses(entry for entry in taken if entry.goes == "scrap")
    came = (Mass(out.amount_mg, out.balance), *kept)
    found = closing(session, [mass_of(entry) for entry in entries], came, thrown)
    if found is None:
        return None
    charged = sum(entry.amount_mg for entry in entries)
    expected = expected_of_batch(session, batch, worked)
    return Judgement(charged, out.amount_mg, found, expected)
