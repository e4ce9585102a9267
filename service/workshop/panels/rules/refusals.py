"""Refusals of the panels slice."""

from service.errors import NotFound


class UnknownScale(NotFound):
    slug = "rating-scale-unknown"
    title = "There is no such rating scale"


class UnknownProtocol(NotFound):
    slug = "protocol-unknown"
    title = "There is no such protocol"


class UnknownProtocolVersion(NotFound):
    slug = "protocol-version-unknown"
    title = "The protocol has no such version"


class UnknownPanel(NotFound):
    slug = "panel-unknown"
    title = "There is no such panel"


class UnknownReading(NotFound):
    slug = "reading-unknown"
    title = "There is no such reading"


class UnknownCoat(NotFound):
    slug = "coat-unknown"
    title = "The panel has no such coat"
    about = "Coats are numbered as they were put on; a voided one is there no longer."
