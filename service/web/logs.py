"""One line of JSON per event on standard error; bodies, keys and personal values never enter it."""

import json
import logging
import sys
import traceback
from typing import Any

_LOGGER = logging.getLogger("kettlemark")


def set_up(level: str) -> None:
    """Send our lines to standard error from the given level on."""
    if not _LOGGER.handlers:
        handler = logging.StreamHandler(sys.stderr)
        handler.setFormatter(logging.Formatter("%(message)s"))
        _LOGGER.addHandler(handler)
        _LOGGER.propagate = False
    _LOGGER.setLevel(level.upper())


def log(event: str, *, exception: BaseException | None = None, **facts: Any) -> None:
    """Log an event; an exception brings its traceback."""
    line: dict[str, Any] = {"event": event, **facts}
    if exception is not None:
        line["traceback"] = "".join(traceback.format_exception(exception))[-6000:]
        _LOGGER.error(json.dumps(line, default=str))
        return
    _LOGGER.info(json.dumps(line, default=str))
