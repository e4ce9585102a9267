"""Bodies of hazards: what a supplier's sheet or the law says of a substance."""

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, model_validator

from service.web.fields import Amount, Basis, Day, In, Line, Out, Short, amount, refusal
from service.workshop.materials import rules


def _known(code: str) -> str:
    if code not in rules.hazard_categories():
        raise refusal(
            "hazard-unknown",
            f"{code[:12]!r} is no hazard statement of a substance.",
            "Send one code, written as in the law: H226, H360D, EUH066; of H300+H310 send both.",
        )
    return code


HazardCode = Annotated[
    str, Field(max_length=12, examples=["H226", "EUH066"]), AfterValidator(_known)
]
Note = Annotated[
    str,
    Field(pattern=r"^([A-Z]|[1-9]|1[0-2])$", description="A note of CLP Annex VI: P, 10"),
]
Limit: Any = amount("fraction", unit="%", low="0", high="100")


class HazardIn(In):
    code: HazardCode
    category: Short | None = Field(
        default=None, description="Class and category as the law writes them: Skin Sens. 1B"
    )
    scl: Limit | None = Field(
        default=None, description="Specific concentration limit, by mass, from which it counts"
    )
    m_factor: Annotated[int, Field(ge=1, le=1_000_000)] | None = Field(
        default=None, description="Of H400 and H410 only."
    )
    notes: Annotated[list[Note], Field(max_length=8)] = []
    basis: Literal["declared", "handbook"]
    source: Line = Field(description="Whose data sheet, or which entry of which law.")
    dated: Day | None = None

    @model_validator(mode="after")
    def _fits(self) -> "HazardIn":
        if wrong := rules.category_problem(self.code, self.category):
            raise refusal("category-mismatch", wrong, below=("category",))
        if self.m_factor is not None and self.code not in rules.AQUATIC:
            wrong = f"{self.code} has no M factor; H400 and H410 have."
            raise refusal("m-factor-misplaced", wrong, below=("m_factor",))
        return self


def _none_twice(hazards: list[HazardIn]) -> list[HazardIn]:
    twice = rules.repeated((each.code, each.category) for each in hazards)
    if twice is None:
        return hazards
    raise refusal(
        "hazard-twice",
        f"{hazards[twice].code} stands twice.",
        "Send it once, or with the category of each.",
        below=(twice, "code"),
    )


Hazards = Annotated[
    list[HazardIn],
    Field(max_length=40, description="[]: looked up, there are none. null: not known."),
    AfterValidator(_none_twice),
]


class HazardOut(Out):
    code: str
    category: str | None
    scl: Amount | None
    m_factor: int | None
    notes: list[str]
    basis: Basis
    source: str
    dated: Day | None
