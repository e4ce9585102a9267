"""What is in the can, as the sums over it go by."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from service.science.formulation import Worked
from service.science.pots import Component, Substance
from service.science.rounding import plain, round_significant
from service.workshop.recipes.figures.derived import DIGITS
from service.workshop.recipes.inside.composition import Composition
from service.workshop.recipes.inside.contents import Charged, charged_lines, missing
from service.workshop.recipes.inside.exploding import Opened, opened
from service.workshop.recipes.inside.working import Work

BY_SHARES = "by the version's exact shares"
_MEASURE = "measure it"


def whole(name: str, value: Decimal, unit: str) -> dict[str, Any]:
    """A figure of the whole, as the input of another."""
    shown = plain(round_significant(value, DIGITS))
    return {"name": name, "value": shown, "unit": unit, "basis": "calculated"}


def _has_a_family(substance: Substance) -> bool:
    return substance.family is not None


@dataclass(frozen=True, slots=True)
class Can:
    """The contents of a version worked through: as made, by families, and taken apart."""

    of: Composition
    work: Work
    done: Worked
    by_family: Opened  # intermediates of one family whole
    apart: Opened

    @classmethod
    def of_work(cls, of: Composition, work: Work, done: Worked) -> "Can":
        by_family = opened(of, work, closed=_has_a_family)
        apart = opened(of, work) if by_family.stayed_whole else by_family
        return cls(of, work, done, by_family, apart)

    @property
    def contents(self) -> Sequence[Component]:
        return self.done.contents

    @property
    def charged(self) -> Charged:
        return charged_lines(self.work.formula)

    @property
    def unreckoned(self) -> str:
        """What a figure must say where a reaction was not reckoned, or nothing."""
        lacking = missing(self.done.undecided)
        return f"no reaction is reckoned without {' and '.join(lacking)}" if lacking else ""

    @property
    def evenly(self) -> str:
        """What a figure must say where a stage is declared to lose something, or nothing."""
        lost = any(loss.percent > 0 for stage in self.work.formula.stages for loss in stage.losses)
        return "declared losses take of all that is in the pot alike" if lost else ""

    def known(self, contents: Iterable[Component], *names: str) -> list[dict[str, Any]]:
        """These properties of what was weighed in, as the inputs of a figure."""
        codes = dict.fromkeys(one.substance.name for one in contents if one.substance)
        found = (self.of.value(name, code) for name in names for code in codes)
        return [held.as_json() for held in found if held is not None]

    def note(
        self, how: str, inputs: list[dict[str, Any]], *, said: Iterable[str] = (), source: str = ""
    ) -> dict[str, Any]:
        """A footnote of a figure of the contents."""
        told = [each for each in (*said, self.unreckoned, self.evenly) if each]
        if not any(_MEASURE in each for each in told):
            told.append(f"approximation; {_MEASURE}")
        valid = "; ".join(dict.fromkeys(told))
        return {"how": f"{how}, {BY_SHARES}", "from": inputs, "source": source, "valid": valid}
