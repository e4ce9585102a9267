"""Refusals of the deviations slice."""

from service.errors import Conflict, NotFound


class UnknownDeviation(NotFound):
    slug = "deviation-unknown"
    title = "There is no such deviation"


class AlreadyConcluded(Conflict):
    slug = "already-concluded"
    title = "This deviation is already concluded"
    about = (
        "A conclusion stands. What it says is put right, or the deviation opened again, by POST "
        "/v1/deviations/{number}/conclusions/corrections; the record keeps both."
    )


class NotConcluded(NotFound):
    slug = "not-concluded"
    title = "This deviation has no conclusion"
    about = "Only a conclusion that stands is corrected; conclude the deviation instead."
