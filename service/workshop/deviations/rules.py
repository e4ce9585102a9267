"""Refusals of the deviations slice."""

from service.errors import Conflict, NotFound


class UnknownDeviation(NotFound):
    slug = "deviation-unknown"
    title = "There is no such deviation"


class AlreadyConcluded(Conflict):
    slug = "already-concluded"
    title = "This deviation is already concluded"
    about = "A conclusion stands and is not replaced; the record keeps it."
