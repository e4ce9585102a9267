"""What is seen in a pot, and which of it is outside any plan: pure."""

from decimal import Decimal

from service.science.colour_readings import ColourReading, compare_colour_readings
from service.science.errors import NotApplicable

# A string is drawn from the stick, a drop spreads on cold glass; nothing else has a length.
MEASURED_IN_LENGTH = frozenset({"string-test", "drop-test"})
SOLVENT_IN = "solvent-in"
# What no recipe asks for; the record wants to know what became of it.
UNPLANNED = {"boiled-over": "The kettle boiled over."}


def length_problem(event: str) -> str | None:
    """Why an event has no length, or None."""
    return None if event in MEASURED_IN_LENGTH else f"An event {event} has no length."


def darker_by(before: ColourReading | None, now: ColourReading | None) -> Decimal | None:
    """By how many steps of its scale a colour is darker than the one before; below 0 where it is
    lighter, None where the two do not compare."""
    if before is None or now is None:
        return None
    try:
        found = compare_colour_readings(before, now)
    except NotApplicable:
        return None
    if found.steps is None:
        return None
    return -found.steps if found.darker == "first" else found.steps
