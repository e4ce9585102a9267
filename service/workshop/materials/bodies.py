"""Bodies of the materials slice."""

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from service.science import units
from service.science.errors import ScienceError
from service.science.formulas import parse_formula
from service.science.units import Quantity
from service.web.fields import (
    Amount,
    Basis,
    Code,
    Day,
    Figure,
    In,
    Instant,
    Line,
    Mass,
    Out,
    Short,
    Temperature,
    Utc,
    Volume,
    Written,
    read_quantity,
    refusal,
    refusal_below,
)
from service.workshop.materials import rules
from service.workshop.materials.acceptance import AcceptWith
from service.workshop.materials.hazards import HazardOut, Hazards
from service.workshop.materials.ordering import OrderingIn, OrderingOut
from service.workshop.materials.prices import ListPriceIn, ListPriceOut

Kind = Literal["ingredient", "intermediate", "reagent", "container", "closure", "label", "finished"]
Family = Literal[
    "drying-oil",
    "other-oil",
    "resin",
    "resinate",
    "balsam",
    "solvent",
    "drier",
    "wax",
    "pigment",
    "base",
    "oxide",
    "salt",
    "water",
    "other",
]
SubjectKind = Literal["material", "lot", "product", "version", "batch", "panel"]


def _checked(what: str, problem: Any) -> Any:
    def check(value: str) -> str:
        if wrong := problem(value):
            raise refusal(f"bad-{what}", f"This is no {what.upper()} number: {wrong}.")
        return value

    return AfterValidator(check)


def _formula(value: str) -> str:
    try:
        parse_formula(value)
    except ScienceError as error:
        raise refusal(error.code, error.message, error.hint) from None
    return value


def _metal(symbol: str) -> str:
    if symbol not in rules.metals():
        wrong = f"{symbol!r} is no metal of the trade."
        raise refusal("metal-unknown", wrong, f"Send one of: {', '.join(rules.metals())}.")
    return symbol


Cas = Annotated[str, Field(max_length=12), _checked("cas", rules.cas_problem)]
Ec = Annotated[str, Field(max_length=9), _checked("ec", rules.ec_problem)]
Formula = Annotated[
    str,
    Field(max_length=60, description="With its water: ZnSO4.7H2O"),
    AfterValidator(_formula),
]
Metal = Annotated[
    str,
    Field(max_length=2, description="The metal its metal content is of: Zn, Co"),
    AfterValidator(_metal),
]
Prefix = Annotated[Code, Field(max_length=8, description="Beginning of its lot numbers")]


class FigureValue(In):
    """A value with its basis; which evidence it needs follows from the basis."""

    value: Any = Field(description='"0.930 kg/l", or the bare value beside `unit`')
    unit: Short | None = None
    basis: Basis
    source: Line | None = Field(default=None, description="Whose certificate, or which table.")
    method: Line | None = Field(default=None, description="Which test, or how it was calculated.")
    temperature: Temperature | None = None
    dated: Day | None = None

    def read(self, name: str) -> Quantity:
        """The quantity for a property; raises a payload error."""
        known = rules.properties()[name]
        given = self.value if self.unit is None else {"value": self.value, "unit": self.unit}
        quantity = read_quantity(given, known.dimension, None)
        if wrong := rules.figure_problem(known, quantity):
            raise refusal("out-of-range", wrong, below=("value",))
        evidence = ("source", "method", "temperature")
        stated = {each for each in evidence if getattr(self, each) is not None}
        lacks = rules.missing_evidence(known, basis=self.basis, stated=stated)
        if lacks:
            wrong = f"A {self.basis} {known.label.lower()} needs its {lacks}."
            hint = f'Send "{lacks}" beside the value.'
            raise refusal("evidence-missing", wrong, hint, below=(lacks,))
        return quantity


def check_property(name: str) -> str:
    """A property's name; raises a payload error listing those that are known."""
    if name not in rules.properties():
        known = ", ".join(rules.properties())
        raise refusal("property-unknown", f"{name[:40]!r} is no property.", f"Known: {known}.")
    return name


def _check_figures(figures: dict[str, FigureValue]) -> dict[str, FigureValue]:
    for name, figure in figures.items():
        try:
            figure.read(check_property(name))
        except PydanticCustomError as error:
            raise refusal_below(error, name) from None
    return figures


Figures = Annotated[
    dict[str, FigureValue],
    AfterValidator(_check_figures),
    Field(max_length=30, description="By property: density, flash_point, …"),
]


class MaterialIn(In):
    code: Code
    kind: Kind
    name: Short | None = Field(default=None, description="Where absent, the code.")
    family: Family | None = Field(default=None, description="What it is in the trade's sums.")
    lots_start_as: Literal["quarantine", "released"] | None = Field(
        default=None, description="Where absent: quarantine for what is sold, else released."
    )
    accept_with: AcceptWith = ()
    lot_prefix: Prefix | None = None
    cas: Cas | None = None
    ec: Ec | None = None
    formula: Formula | None = None
    autoxidising: bool | None = Field(
        default=None, description="Whether rags soaked in it can take fire by themselves."
    )
    label_name: Line | None = Field(default=None, description="Its name in a list of contents.")
    holds: Volume | None = Field(default=None, description="What a container holds, nominally.")
    tare: Mass | None = Field(default=None, description="What an empty container weighs.")
    metal: Metal | None = None
    price: ListPriceIn | None = Field(default=None, description="Where nothing was bought yet.")
    price_source: Line | None = Field(default=None, description="Whose list the price is from.")
    price_on: Day | None = Field(default=None, description="The day of that list.")
    order: OrderingIn | None = Field(default=None, description="How it is bought again.")
    hazards: Hazards | None = None
    figures: Figures = {}

    @model_validator(mode="after")
    def _fit_together(self) -> "MaterialIn":
        if wrong := rules.metal_problem(self.metal, self.formula):
            hint = "Send the metal that is in it, or leave one of the two out."
            raise refusal("does-not-fit", f"{wrong}.", hint, below=("metal",))
        shares: dict[str, Decimal] = {
            name: units.canonical(self.figures[name].read(name))
            for name in ("non_volatile", "water", "exempt")
            if name in self.figures
        }
        if wrong := rules.shares_problem(shares):
            raise refusal("does-not-fit", f"{wrong}.", "Look at them again.", below=("figures",))
        return self


class MaterialPatch(In):
    name: Short = ""
    family: Family | None = None
    lots_start_as: Literal["quarantine", "released"] = "released"
    accept_with: AcceptWith = ()
    cas: Cas | None = None
    ec: Ec | None = None
    formula: Formula | None = None
    autoxidising: bool | None = None
    label_name: Line | None = None
    holds: Volume | None = None
    tare: Mass | None = None
    metal: Metal | None = None
    price: ListPriceIn | None = Field(default=None, description="null takes source and day along.")
    price_source: Line | None = None
    price_on: Day | None = None
    order: OrderingIn | None = Field(default=None, description="Replaced as a whole.")
    hazards: Hazards | None = Field(default=None, description="Replaced as a whole.")
    archived: bool = False


class NamedFigure(Figure):
    """A figure with its property's name and label."""

    name: str
    label: str


class MaterialOut(Out):
    code: str
    kind: str
    name: str
    family: str | None
    lots_start_as: str
    accept_with: list[str]
    lot_prefix: str
    cas: str | None
    ec: str | None
    formula: str | None
    autoxidising: bool | None
    label_name: str | None
    holds: Amount | None
    tare: Amount | None
    metal: str | None
    price: ListPriceOut | None = Field(description="Null for keys without the scope write.")
    price_source: str | None
    price_on: Day | None
    order: OrderingOut | None
    hazards: list[HazardOut] | None = Field(description="[]: there are none. null: not known.")
    created_at: Utc
    archived_at: Utc | None
    figures: list[NamedFigure]
    notes: dict[str, dict[str, Any]]


class MaterialMade(MaterialOut, Written):
    pass


class FigureIn(FigureValue):
    property: Annotated[str, AfterValidator(check_property), Field(max_length=30)]
    by: Code | None = None
    happened_at: Instant | None = None

    @model_validator(mode="after")
    def _readable(self) -> "FigureIn":
        self.read(self.property)
        return self


class FigureOut(Figure):
    figure: str
    subject_kind: str
    subject: str
    property: str
    label: str
    source: str | None
    method: str | None
    temperature: Amount | None
    dated: Day | None
    by: str | None
    happened_at: Utc
    entered_at: Utc
    corrects: str | None
    corrected_by: str | None
    void: bool
    reason: str | None


class FigureMade(FigureOut, Written):
    pass


class FigureCorrection(In):
    """Either a value that replaces the entry, or `void`; always with the reason."""

    replaces: FigureValue | None = None
    void: bool = False
    reason: Line
    by: Code | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> "FigureCorrection":
        if self.void == (self.replaces is not None):
            raise refusal("one-of-two", "A correction replaces or voids: send one of the two.")
        return self
