"""Refusals of the deviations slice."""

from service.errors import Conflict, NotFound


class UnknownDeviation(NotFound):
    slug = "deviation-unknown"
    title = "There is no such deviation"


class AlreadyConcluded(Conflict):
    slug = "already-concluded"
    title = "This deviation is already concluded"
    about = "A conclusion stands and is not replaced; the record keeps it."


class OpenDeviations(Conflict):
    slug = "open-deviations"
    title = "Deviations are still open"
    about = (
        "Completion and release wait until each deviation of the lot is concluded: read it, decide "
        "what it means, and POST that to its conclusions."
    )
