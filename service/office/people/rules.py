"""Refusals of the people desk."""

from service.errors import NotFound


class UnknownPerson(NotFound):
    slug = "person-unknown"
    title = "There is no such person"
