"""What was put on and what was seen, as sentences made by rule: never "resistant"."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.science.rounding import plain, round_half_even
from service.workshop.panels.rules.words import effects

_HOW = {
    "spot-covered": "one drop covered for {contact}",
    "spot-open": "open drop, {contact}",
    "immersion": "immersed for {contact}",
    "pad": "under a wet pad for {contact}",
    "rub": "{times} with a wet cloth",
    "scrape": "scraped {times}",
    "knock": "knocked {times}",
}
_TENTH = Decimal("0.1")
_HOURS_UP_TO = 72  # the trade says 48 h, and 7 d


@dataclass(frozen=True, slots=True)
class Exposure:
    """What a test puts on a film, how, and for how long."""

    tried: str
    mode: str
    contact_seconds: int | None = None
    rubs: int | None = None
    method: str | None = None


@dataclass(frozen=True, slots=True)
class Condition:
    """The state of the film when it was tried; None where it is not known or not told."""

    temperature_c: Decimal | None = None
    coats: int | None = None
    age_days: int | None = None


@dataclass(frozen=True, slots=True)
class Noticed:
    """One effect that was seen, with how much of it and when it was gone."""

    effect: str
    extent: str | None = None
    gone_after_seconds: int | None = None


def duration(seconds: int) -> str:
    """A time as the trade says it: 10 s, 2 min, 16 h, 48 h, 7 d."""
    minutes, odd_seconds = divmod(seconds, 60)
    if odd_seconds or not minutes:
        return f"{seconds} s"
    hours, odd_minutes = divmod(minutes, 60)
    if odd_minutes:
        return f"{hours} h {odd_minutes} min" if hours else f"{minutes} min"
    days, odd_hours = divmod(hours, 24)
    return f"{hours} h" if odd_hours or hours <= _HOURS_UP_TO else f"{days} d"


def how(exposure: Exposure) -> str:
    """How it was put on, in a few words."""
    contact = duration(exposure.contact_seconds) if exposure.contact_seconds else ""
    words = _HOW[exposure.mode].format(contact=contact, times=_times(exposure))
    return words.strip()


def _times(exposure: Exposure) -> str:
    if exposure.mode == "rub":
        return counted(exposure.rubs or 1, "rub")
    return "" if exposure.rubs is None else counted(exposure.rubs, "time")


def exposed(exposure: Exposure) -> str:
    """What was tried and how, as a phrase."""
    return f"{exposure.tried}, {how(exposure)}"


def outcome(noticed: Sequence[Noticed]) -> str:
    """What one trial showed."""
    if not noticed:
        return "nothing seen"
    gone = {seen.gone_after_seconds for seen in noticed}
    if len(gone) == 1:
        return ", ".join(_effect(seen) for seen in noticed) + _gone(gone.pop())
    return ", ".join(_effect(seen) + _gone(seen.gone_after_seconds, " ") for seen in noticed)


def _effect(seen: Noticed) -> str:
    word = effects()[seen.effect]
    return f"{seen.extent} {word.with_extent}" if seen.extent else word.alone


def _gone(seconds: int | None, before: str = ", ") -> str:
    return f"{before}gone after {duration(seconds)}" if seconds else ""


def sentence(exposure: Exposure, condition: Condition, outcomes: Sequence[str]) -> str:
    """The sentence of one test over its trials."""
    parts = [f"{_titled(exposure.tried)}, {how(exposure)}{_at(condition.temperature_c)}"]
    parts += [part for part in (exposure.method, _film(condition)) if part]
    return f"{', '.join(parts)}: {over_trials(outcomes)}."


def over_trials(outcomes: Sequence[str]) -> str:
    """What the trials showed, the commonest first; each with how many of them."""
    total = len(outcomes)
    found = Counter(outcomes).most_common()
    if len(found) == 1:
        return f"{outcomes[0]} ({counted(total, 'trial')})"
    return "; ".join(f"{words} ({count} of {total} trials)" for words, count in found)


def not_tried(words: Iterable[str]) -> str:
    """The sentence on what was not tried; it stands as large as what was."""
    named = ", ".join(words)
    return f"Not tried on this lot: {named}." if named else "All tests of the protocol were tried."


def measured(label: str, value: str, *, method: str, temperature_c: Decimal | None, n: int) -> str:
    """The sentence of a constant: "Flow time 62 s, ISO 2431 at 23 °C (measured, 3 trials)"."""
    trials = f", {counted(n, 'trial')}" if n > 1 else ""
    return f"{label} {value}, {method}{_at(temperature_c)} (measured{trials})"


def degrees(temperature_c: Decimal) -> str:
    """A temperature to a tenth: 70 °F is 21.1 °C."""
    return plain(round_half_even(temperature_c, _TENTH).normalize() + 0)


def counted(count: int, noun: str) -> str:
    """1 trial, 3 trials."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _titled(tried: str) -> str:
    """ "artificial perspiration, acid" as the beginning of a sentence."""
    noun, comma, detail = tried.partition(",")
    named = f"{noun.strip()} ({detail.strip()})" if comma else noun.strip()
    return named[:1].upper() + named[1:]


def _at(temperature_c: Decimal | None) -> str:
    return "" if temperature_c is None else f" at {degrees(temperature_c)} °C"


def _film(condition: Condition) -> str:
    if not condition.coats:
        return ""
    coats = counted(condition.coats, "coat")
    if condition.age_days is None:
        return coats
    age = counted(condition.age_days, "day") if condition.age_days else "less than a day"
    return f"{coats} {age} old"
