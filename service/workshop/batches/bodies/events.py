"""Bodies of what was seen in the pot: events of a closed list, drops of the colour ladder."""

from typing import Any, Literal

from pydantic import Field, model_validator

from service.office.attachments.bodies import Attached, AttachmentName
from service.science import units
from service.science.colour_readings import (
    NOT_ON_SCALE,
    ColourReading,
    compare_colour_readings,
)
from service.science.errors import ScienceError
from service.web.corrections import CorrectionIn, ReplacementIn, Traced
from service.web.fields import (
    Amount,
    Code,
    In,
    Instant,
    Line,
    Mark,
    Out,
    Paragraph,
    Short,
    Utc,
    Written,
    amount,
    number,
    refusal,
)
from service.workshop.batches.bodies.cook_log import CookTemperature
from service.workshop.batches.rules.pot import MEASURED_IN_LENGTH, length_problem
from service.workshop.deviations.bodies import Flag

Event = Literal[
    "on-the-heat",
    "off-the-heat",
    "melted",
    "clear",
    "cloudy",
    "foam",
    "smoke",
    "boiled-over",
    "charge-in",
    "drier-in",
    "solvent-in",
    "string-test",
    "drop-test",
    "sample-taken",
    "other",
]
SOMEWHERE = {"Gardner": "1", "rosin grade": "X"}
# Up to ten metres: longer no string of varnish is drawn.
Length: Any = amount("length", low="0", high="10000000")
Minutes: Any = number("0", "100000")
Solids: Any = amount("fraction", unit="%", low="0", high="100")


class EventValues(In):
    event: Event
    text: Paragraph | None = Field(default=None, description="Needed where the event is other.")
    temperature: CookTemperature | None = Field(default=None, description="Of the pot.")
    length: Length | None = Field(
        default=None, description="Of the string, or of the drop across; only of these two tests."
    )

    @model_validator(mode="after")
    def _fits(self) -> "EventValues":
        check_event(self.event, text=self.text, has_length=self.length is not None)
        return self


def check_event(event: str, *, text: str | None, has_length: bool) -> None:
    """Raises a payload error for an event that says too little or too much."""
    if event == "other" and text is None:
        wrong = "It is not said what happened."
        raise refusal("text-missing", wrong, 'Send "text".', below=("text",))
    if has_length and (misplaced := length_problem(event)):
        hint = f"It belongs to: {', '.join(sorted(MEASURED_IN_LENGTH))}."
        raise refusal("no-length", misplaced, hint, below=("length",))


class EventIn(EventValues):
    """Something that happened, with what was seen."""

    by: Code | None = None
    happened_at: Instant | None = None


class EventAtIn(EventValues):
    """An event as a page tells it."""

    at: Mark | None = Field(default=None, description='"14:20" or "about 14:20"')


def refuse_null(wanted: ReplacementIn, *names: str) -> None:
    """Raises a payload error for a null in place of what every entry has."""
    for name in names:
        if name in wanted.model_fields_set and getattr(wanted, name) is None:
            wrong = f"An entry is never without its {name}."
            raise refusal("null-given", wrong, "Leave it out to keep it.", below=(name,))


class EventReplacement(ReplacementIn):
    event: Event | None = None
    text: Paragraph | None = None
    temperature: CookTemperature | None = None
    length: Length | None = None
    happened_at: Instant | None = None

    @model_validator(mode="after")
    def _whole(self) -> "EventReplacement":
        refuse_null(self, "event", "happened_at")
        return self


class EventCorrection(CorrectionIn):
    replaces: EventReplacement | None = None


class EventOut(Traced):
    entry: int
    batch: str
    event: str
    text: str | None
    temperature: Amount | None
    length: Amount | None
    by: str | None
    happened_at: Utc
    about: str | None
    entered_at: Utc
    entered_from: str


class EventMade(EventOut, Written):
    flags: list[Flag]


class ColourIn(In):
    """A colour as it was read; what was looked at belongs to it."""

    scale: Literal["Gardner", "rosin grade"]
    reading: Mark = Field(description='11, 11.5, "< 1", "> 18", WW, or "not on this scale"')
    sample: Literal["liquid", "melt", "cube", "solution"]
    solvent: Short | None = Field(default=None, description="Only of a solution.")
    solids: Solids | None = Field(default=None, description="In the solution.")

    @model_validator(mode="after")
    def _on_the_scale(self) -> "ColourIn":
        found = self.read
        if found.reading == NOT_ON_SCALE:  # a valid answer, of which only the place is unknown
            found = found._replace(reading=SOMEWHERE[found.scale])
        try:
            compare_colour_readings(found, found)
        except ScienceError as error:
            field = error.field.rpartition("/")[2].replace("solids_percent", "solids")
            below = (field,) if field in type(self).model_fields else ()
            raise refusal(error.code, _sentence(error.message), error.hint, below=below) from None
        return self

    @property
    def read(self) -> ColourReading:
        """The reading as the science takes it."""
        solids = None if self.solids is None else units.canonical(self.solids)
        return ColourReading(self.scale, self.reading, self.sample, self.solvent, solids)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


class DropValues(In):
    minutes: Minutes | None = Field(
        default=None, description="Since the cook began, as whoever cooks counts them."
    )
    temperature: CookTemperature | None = None
    colour: ColourIn | None = None
    text: Line | None = Field(default=None, description="The colour in words.")
    photo: AttachmentName | None = Field(
        default=None, description="Sent before, after or never: PUT /v1/attachments/sha256:…"
    )

    @model_validator(mode="after")
    def _shows_something(self) -> "DropValues":
        check_drop(colour=self.colour, text=self.text, photo=self.photo)
        return self


def check_drop(**told: object) -> None:
    """Raises a payload error for a drop of which nothing is told."""
    if all(each is None for each in told.values()):
        wrong = "Nothing is told of the colour."
        raise refusal("drop-empty", wrong, 'Send "colour", "text" or "photo".')


class DropIn(DropValues):
    """A drop on glass or paper, held to light: one rung of the ladder."""

    by: Code | None = None
    happened_at: Instant | None = None


class DropReplacement(ReplacementIn):
    minutes: Minutes | None = None
    temperature: CookTemperature | None = None
    colour: ColourIn | None = None
    text: Line | None = None
    photo: AttachmentName | None = None
    happened_at: Instant | None = None

    @model_validator(mode="after")
    def _whole(self) -> "DropReplacement":
        refuse_null(self, "happened_at")
        return self


class DropCorrection(CorrectionIn):
    replaces: DropReplacement | None = None


class ColourOut(Out):
    scale: str
    reading: str
    sample: str
    solvent: str | None
    solids: Amount | None


class DropOut(Traced):
    entry: int
    batch: str
    rung: int | None = Field(description="Its place on the ladder; null where it does not stand.")
    minutes: Amount | None
    temperature: Amount | None
    colour: ColourOut | None
    text: str | None
    photo: Attached | None
    darker_by: Amount | None = Field(
        description="Steps of the scale since the rung before; null where they do not compare."
    )
    by: str | None
    happened_at: Utc
    about: str | None
    entered_at: Utc
    entered_from: str


class DropMade(DropOut, Written):
    flags: list[Flag]
