"""What is allowed of scales, protocols, panels and readings, and how they are put in words."""

from service.workshop.panels.rules.refusals import (
    UnknownCoat,
    UnknownPanel,
    UnknownProtocol,
    UnknownProtocolVersion,
    UnknownReading,
    UnknownScale,
)

__all__ = [
    "UnknownCoat",
    "UnknownPanel",
    "UnknownProtocol",
    "UnknownProtocolVersion",
    "UnknownReading",
    "UnknownScale",
]
