"""Small pieces of wording a sheet needs, by language."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Words:
    """The words the press itself sets; all others come with the document."""

    caution: str
    notes: str
    note: str
    also_as: str
    conjunction: str
    task: str
    target: str
    actual: str
    time: str
    lot: str
    more_cautions: str
    more_below: str
    months: tuple[str, ...]
    day: str = "{day} {month} {year}"
    first_day: str = "{day} {month} {year}"


_WORDS = {
    "en": Words(
        caution="Caution",
        notes="Notes",
        note="note",
        also_as="Also as",
        conjunction="and",
        task="What to do",
        target="Target",
        actual="Actual",
        time="Time",
        lot="Lot",
        more_cautions="More cautions: {count}",
        more_below="More cautions after the last line: {count}",
        months=(
            *("January", "February", "March", "April", "May", "June"),
            *("July", "August", "September", "October", "November", "December"),
        ),
    ),
    "de": Words(
        caution="Vorsicht",
        notes="Anmerkungen",
        note="Anmerkung",
        also_as="Auch als",
        conjunction="und",
        task="Was zu tun ist",
        target="Soll",
        actual="Ist",
        time="Uhrzeit",
        lot="Charge",
        more_cautions="Weitere Warnungen: {count}",
        more_below="Weitere Warnungen nach der letzten Zeile: {count}",
        months=(
            *("Januar", "Februar", "März", "April", "Mai", "Juni"),
            *("Juli", "August", "September", "Oktober", "November", "Dezember"),
        ),
        day="{day}. {month} {year}",
        first_day="{day}. {month} {year}",
    ),
    "fr": Words(
        caution="Attention",
        notes="Notes",
        note="note",
        also_as="Aussi en",
        conjunction="et",
        task="À faire",
        target="Cible",
        actual="Relevé",
        time="Heure",
        lot="Lot",
        more_cautions="Autres mises en garde : {count}",
        more_below="Autres mises en garde après la dernière ligne : {count}",
        months=(
            *("janvier", "février", "mars", "avril", "mai", "juin"),
            *("juillet", "août", "septembre", "octobre", "novembre", "décembre"),
        ),
        first_day="1er {month} {year}",
    ),
}


def words(language: str) -> Words:
    """The words of a language tag; an unknown one is refused, not set half in English."""
    spoken = _WORDS.get(language.partition("-")[0].lower())
    if spoken is None:
        raise ValueError(f"no words for language {language!r}; known: {', '.join(_WORDS)}")
    return spoken


def plain(number: Decimal) -> str:
    """A number with the digits it was given and never an exponent."""
    return format(number, "f")


def typeset(number: Decimal) -> str:
    """A number for the eye: as `plain`, with a true minus sign."""
    return plain(number).replace("-", "\N{MINUS SIGN}")


def percent(number: Decimal) -> str:
    """A number of hundredths with its sign, kept on one line."""
    return f"{typeset(number)}{NO_BREAK_SPACE}%"


def listed(items: Sequence[str], language: str) -> str:
    """Items as one reads them aloud: "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {words(language).conjunction} {items[-1]}"


def day(when: date, language: str) -> str:
    """A date as one writes it on a label: "25 November 2026"."""
    spoken = words(language)
    pattern = spoken.first_day if when.day == 1 else spoken.day
    return pattern.format(day=when.day, month=spoken.months[when.month - 1], year=when.year)


def measured_in(unit: str) -> str:
    """A unit as it is printed; that of a pure number is not."""
    return "" if unit == "1" else unit
