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
        line["traceback"] = _traced(exception)[-6000:]
        _LOGGER.error(json.dumps(line, default=str))
        return
    _LOGGER.info(json.dumps(line, default=str))


def _traced(exception: BaseException) -> str:
    """Where it happened and what it was, of each exception only the first line: on the lines
    below, databases and validators show the values they were given."""
    parts: list[str] = []
    step: BaseException | None = exception
    while step is not None:
        first = str(step).split("\n", 1)[0]
        where = "".join(traceback.format_tb(step.__traceback__))
        parts.insert(0, f"{where}{type(step).__qualname__}: {first[:300]}")
        step = step.__cause__ or (None if step.__suppress_context__ else step.__context__)
    return "\n\n".join(parts)
