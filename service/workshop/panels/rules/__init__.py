"""What is allowed of scales, protocols, panels and readings, and how they are put in words."""

from service.workshop.panels.rules.refusals import (
    UnknownPanel,
    UnknownProtocol,
    UnknownProtocolVersion,
    UnknownReading,
    UnknownScale,
)

__all__ = [
    "UnknownPanel",
    "UnknownProtocol",
    "UnknownProtocolVersion",
    "UnknownReading",
    "UnknownScale",
]
