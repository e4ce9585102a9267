"""Bodies of readings, on panels and of lots."""

from typing import Annotated, Any

from pydantic import (
    BeforeValidator,
    Field,
    GetJsonSchemaHandler,
    WithJsonSchema,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from service.web.fields import (
    Amount,
    Code,
    Day,
    Figure,
    In,
    Line,
    Out,
    Paragraph,
    Short,
    Temperature,
    Utc,
    Written,
    amount,
    refusal,
)
from service.workshop.deviations.bodies import Flag
from service.workshop.materials.bodies import FigureOut
from service.workshop.panels.bodies.protocols import Contact, Rating
from service.workshop.panels.rules import words
from service.workshop.panels.rules.words import Seen

# As the sheet writes it: "a1" beside "A1" would be one row lost in silence.
Place = Annotated[str, Field(pattern=r"^[A-Z][0-9]{1,3}$")]
Humidity: Any = amount("humidity", unit="% rh", low="0", high="100")


def _seen(value: Any) -> Any:
    if not isinstance(value, str):
        raise refusal("wrong-type", "What was seen is a text.", 'Send "none" or "bloom, faint".')
    if len(value) > 400:
        raise refusal("too-long", "The text is longer than 400 characters.")
    try:
        return words.read_seen(value)
    except words.WordUnknown as wrong:
        raise refusal("word-unknown", wrong.message, wrong.hint) from None


Saw = Annotated[
    tuple[Seen, ...],
    BeforeValidator(_seen),
    WithJsonSchema(
        {"type": "string", "maxLength": 400, "examples": ["none", "whitening, faint; softening"]}
    ),
]


class RowIn(In):
    """What was seen at one place of the panel."""

    saw: Saw = Field(description='"none", or effects with extents: "whitening, faint; softening"')
    gone_after: Contact | None = Field(default=None, description="When the effects were gone.")
    rating: Rating | None = None
    temperature: Temperature | None = None
    remark: Paragraph | None = None

    @model_validator(mode="after")
    def _something_gone(self) -> "RowIn":
        if self.gone_after is not None and not self.saw:
            wrong = "Nothing was seen, so nothing can have gone."
            raise refusal("nothing-gone", wrong, below=("gone_after",))
        return self


def _long_row(value: Any) -> Any:
    return {"saw": value} if isinstance(value, str) else value


_SHORT_ROW = {"type": "string", "maxLength": 600, "examples": ["whitening, faint; softening"]}


class _Short:
    """Adds the short form of a row, a bare text, to the schema."""

    def __get_pydantic_json_schema__(
        self, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return {"anyOf": [_SHORT_ROW, handler(core)]}


Row = Annotated[RowIn, BeforeValidator(_long_row), _Short()]


class RoomIn(In):
    temperature: Temperature | None = None
    humidity: Humidity | None = None


def _long_room(value: Any) -> Any:
    """ "21 °C, 48 %" taken apart."""
    if not isinstance(value, str):
        return value
    temperature, _, humidity = value.partition(",")
    parts = {"temperature": temperature.strip(), "humidity": humidity.strip()}
    return {name: part for name, part in parts.items() if part}


Room = Annotated[
    RoomIn,
    BeforeValidator(_long_room),
    WithJsonSchema(
        {
            "oneOf": [
                {"type": "string", "maxLength": 60, "examples": ["21 °C, 48 %"]},
                {
                    "type": "object",
                    "properties": {"temperature": {}, "humidity": {}},
                    "additionalProperties": False,
                },
            ]
        }
    ),
]


class PanelReadingsIn(In):
    """A page of the panel's sheet; rows left null were not read."""

    protocol: Code
    version: int | None = Field(
        default=None, ge=1, le=9999, description="Where absent, the newest."
    )
    on: Day | None = None
    by: Code | None = None
    room: Room | None = None
    rows: dict[Place, Row | None] = Field(min_length=1, max_length=100)

    @model_validator(mode="after")
    def _some_row(self) -> "PanelReadingsIn":
        if not self.filled:
            raise refusal("nothing-read", "No row says what was seen.", below=("rows",))
        return self

    @property
    def filled(self) -> dict[str, RowIn]:
        return {at: row for at, row in self.rows.items() if row is not None}


class ReplacesIn(In):
    """What is put right; what is not sent stays as it was."""

    saw: Saw | None = None
    gone_after: Contact | None = None
    rating: Rating | None = None
    value: Any = None
    unit: Short | None = None
    method: Line | None = None
    temperature: Temperature | None = None
    remark: Paragraph | None = None


class ReadingCorrection(In):
    """Either what replaces the entry, or `void`; always with the reason."""

    replaces: ReplacesIn | None = None
    void: bool = False
    reason: Line
    by: Code | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> "ReadingCorrection":
        if self.void == (self.replaces is not None):
            raise refusal("one-of-two", "A correction replaces or voids: send one of the two.")
        if self.replaces is not None and not self.replaces.model_fields_set:
            raise refusal("nothing-replaced", "Nothing is replaced.", below=("replaces",))
        return self


class ConditionOut(Out):
    coats: int | None
    age: Figure | None
    film: Figure | None
    temperature: Figure | None
    humidity: Figure | None


class SeenOut(Out):
    effect: str
    extent: str | None
    gone_after: Amount | None


class RatingOut(Out):
    value: str
    scale: str
    best: str
    worst: str
    basis: str


class ReadingOut(Out):
    reading: str
    lot: str
    panel: str | None
    at: str | None
    trial: int
    protocol: str | None
    version: int | None
    test: str
    tried: str | None = Field(description="What was put on, and how.")
    method: str | None
    condition: ConditionOut
    saw: list[SeenOut]
    rating: RatingOut | None
    value: Figure | None
    text: str
    remark: str | None
    flags: list[Flag]
    by: str | None
    on: Day
    happened_at: Utc
    about: str | None = Field(description="How exact the time is, as an ISO 8601 duration.")
    entered_at: Utc
    entered_from: str
    corrects: str | None
    corrected_by: str | None
    void: bool
    reason: str | None
    notes: dict[str, dict[str, Any]]


class PanelReadingsMade(Written):
    panel: str
    lot: str
    protocol: str
    version: int
    readings: list[ReadingOut]
    flags: list[Flag]


class ReadingCorrected(ReadingOut, Written):
    figure: FigureOut | None = Field(description="The lot's figure, where it changed with it.")
