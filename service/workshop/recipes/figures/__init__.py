"""What the trade reasons with, worked out from a charge and from what comes out of it."""

from collections.abc import Sequence

from service.web.footnotes import Footnotes
from service.workshop.recipes.figures import acid, bulk, metals, oil_and_resin, volatile, yields
from service.workshop.recipes.figures.can import Can
from service.workshop.recipes.figures.derived import LABELS as LABELS
from service.workshop.recipes.figures.derived import Derived as Derived
from service.workshop.recipes.figures.oil_and_resin import Binder as Binder
from service.workshop.recipes.figures.oil_and_resin import absent as absent
from service.workshop.recipes.figures.oil_and_resin import binder as binder
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.contents import missing
from service.workshop.recipes.inside.working import Work
from service.workshop.recipes.rules import Charge

_NAMES = (
    *oil_and_resin.NAMES,
    *bulk.NAMES,
    *volatile.NAMES,
    metals.NAME,
    acid.NAME,
    yields.NAME,
)


def derive(
    of: Composition, charge: Sequence[Charge], notes: Footnotes, *, work: Work | None = None
) -> Derived:
    """The derived figures of a charge, exact shares or weighed masses alike; those of what comes
    out by the exact shares of `work`, without which there are none but the non-volatile."""
    if work is not None and work.done is None:
        return underived(notes, missing(work.lacking.missing if work.lacking else ()))
    found = Derived(notes)
    oil_and_resin.charged(of, charge, found)
    if work is None or work.done is None:
        bulk.non_volatile_charged(of, charge, found)
    else:
        _of_contents(Can.of_work(of, work, work.done), found)
    return found


def underived(notes: Footnotes, lacking: Sequence[str]) -> Derived:
    """All figures of a version that could not be worked through, and what is missing for it."""
    found = Derived(notes)
    for name in _NAMES:
        found.lacks(name, lacking)
    return found


def _of_contents(can: Can, into: Derived) -> None:
    oil_and_resin.canned(can, into)
    liquid = bulk.figures(can, into)
    volatile.figures(can, liquid, into)
    metals.figures(can, into)
    acid.figure(can, into)
    yields.figure(can, into)
