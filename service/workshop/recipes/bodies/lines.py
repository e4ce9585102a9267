"""Lines of a recipe: a material, and how much of it in one of three ways."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from service.science.derived_lines import Derivation
from service.science.errors import ScienceError
from service.science.formulation import STAGES, Formula, FormulaLine, FormulaStage, fixed_masses
from service.web.fields import Amount, Code, In, Line, Out, refusal
from service.workshop.recipes.bodies.amounts import Parts, Percent, Tolerance
from service.workshop.recipes.bodies.derivations import AsNeededIn, DeriveIn, DeriveOut, RuleIn
from service.workshop.recipes.rules import MOST_LINES, Stage


class LineIn(In):
    """One material, by parts, by percent of the whole, or by a rule."""

    material: Code
    parts: Parts | None = Field(
        default=None,
        description="By mass, beside the other parts, as it is in the pot at the end: what the "
        "declared losses take of it is weighed in beside it.",
    )
    percent: Percent | None = Field(
        default=None, description="By mass, of all lines in parts and percent together."
    )
    derive: DeriveIn | None = Field(default=None, description="By a rule from the other lines.")
    stage: Stage | None = Field(default=None, description="Where absent: cook.")
    tolerance: Tolerance | None = Field(default=None, description="Of the target.")
    condition: Line | None = Field(default=None, description="How or when it may go in.")

    @model_validator(mode="after")
    def _one_of_three(self) -> "LineIn":
        ways = [way for way in (self.parts, self.percent, self.derive) if way is not None]
        if len(ways) != 1:
            wrong = "A line has either parts, percent or a rule to derive it by."
            raise refusal("one-of-three", wrong, "Send one of `parts`, `percent` and `derive`.")
        if isinstance(self.derive, AsNeededIn) and self.condition not in {None, self.derive.until}:
            wrong = "What is added as needed goes in until its sign shows."
            hint = "Send the sign in `until` alone."
            raise refusal("sign-twice", wrong, hint, below=("condition",))
        return self

    @property
    def basis(self) -> Literal["parts", "percent", "rule"]:
        if self.derive is not None:
            return "rule"
        return "percent" if self.parts is None else "parts"

    @property
    def amount(self) -> Decimal | None:
        """Parts or percent, or the rule's figure where it has one."""
        if self.derive is not None:
            return self.derive.figure
        given: Decimal | None = self.percent if self.parts is None else self.parts
        return given

    @property
    def sign(self) -> str | None:
        """What is watched while it goes in."""
        return self.derive.until if isinstance(self.derive, AsNeededIn) else self.condition


def _derivation(number: int, derive: RuleIn | None) -> Derivation | None:
    return None if derive is None else Derivation(number, derive.rule, derive.figure)


def _check_shares(lines: list[LineIn]) -> list[LineIn]:
    """Whether parts, percent and the rest can be the shares of a whole."""
    rows = [
        FormulaLine(n, line.material, line.basis, line.amount, "cook", _derivation(n, line.derive))
        for n, line in enumerate(lines, 1)
    ]
    try:
        fixed_masses(Formula(tuple(rows), tuple(FormulaStage(stage) for stage in STAGES), {}))
    except ScienceError as error:
        detail = error.message[:1].upper() + error.message[1:] + "."
        hint = error.hint[:1].upper() + error.hint[1:] + "."
        raise refusal(error.code, detail, hint, below=_place(error.field)) from None
    return lines


def _place(field: str) -> tuple[int, ...]:
    """The place in the list of the line that a refusal of the sums names by its number."""
    number = field.removeprefix("lines/")
    return (int(number) - 1,) if number.isdigit() else ()


def _check_of(lines: list[LineIn]) -> list[LineIn]:
    for place, line in enumerate(lines):
        for n, number in enumerate(line.derive.looks_at if line.derive else ()):
            below = (place, "derive", "of", n)
            if number > len(lines):
                wrong, hint = f"There is no line {number}.", f"The lines are 1 to {len(lines)}."
                raise refusal("line-unknown", wrong, hint, below=below)
            if number == place + 1:
                wrong = f"Line {number} cannot follow from itself."
                raise refusal("line-itself", wrong, "Name the lines it looks at.", below=below)
    return lines


def _check_count(lines: list[LineIn]) -> list[LineIn]:
    if len(lines) > MOST_LINES:
        wrong = f"A recipe has at most {MOST_LINES} lines; {len(lines)} were sent."
        hint = "Make a part of it first: an intermediate with a recipe of its own."
        raise refusal("too-many-lines", wrong, hint)
    return lines


Lines = Annotated[
    list[LineIn],
    AfterValidator(_check_count),
    AfterValidator(_check_of),
    AfterValidator(_check_shares),
    Field(min_length=1, max_length=MOST_LINES),
]


class LineOut(Out):
    line: int
    material: str
    name: str
    parts: str | None
    percent: str | None
    derive: DeriveOut | None
    share: Amount | None = Field(
        description="Of the whole as it leaves the kettle, rounded; null where it is not known."
    )
    stage: str
    tolerance: Amount | None
    condition: str | None
    made_by: list[str] = Field(description="The recipes that make this material.")
