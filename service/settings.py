"""The environment read once into one frozen object."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any
from urllib.parse import urlsplit

PREFIX = "KETTLEMARK_"


class SettingProblem(Exception):
    """A setting that cannot be used; the message names it and says what to give."""


@dataclass(frozen=True, slots=True)
class Settings:
    """Every setting with its default; README lists them."""

    database_url: str = "sqlite:///kettlemark.sqlite"
    host: str = "127.0.0.1"
    port: int = 8000
    workers: int = 1
    gate_seconds: float = 20.0
    log_level: str = "info"

    def __post_init__(self) -> None:
        _check_range("PORT", self.port, 0, 65535)
        _check_range("WORKERS", self.workers, 1, 64)
        _check_range("GATE_SECONDS", self.gate_seconds, 0.1, 600)
        if urlsplit(self.database_url).scheme not in {"sqlite", "postgresql", "postgresql+psycopg"}:
            raise SettingProblem(
                f"{PREFIX}DATABASE_URL must begin with sqlite:/// (a file) or postgresql:// "
                "(a server)"
            )
        if self.log_level not in {"critical", "error", "warning", "info", "debug"}:
            raise SettingProblem(
                f"{PREFIX}LOG_LEVEL is {self.log_level!r}; send critical, error, warning, info "
                "or debug"
            )


def _check_range(name: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise SettingProblem(f"{PREFIX}{name} is {value}; send a number from {low} to {high}")


def _read(name: str, kind: type, text: str) -> Any:
    try:
        return kind(text)
    except ValueError:
        raise SettingProblem(
            f"{PREFIX}{name.upper()} is {text!r}; send "
            + ("a whole number" if kind is int else "a number")
        ) from None


def from_environment(environment: Mapping[str, str], **flags: Any) -> Settings:
    """Settings from KETTLEMARK_… variables; flags that are not None win over them.

    Raises SettingProblem for a bad value and for a KETTLEMARK_ variable that is none of ours,
    since a mistyped name would otherwise be ignored in silence.
    """
    known = {field.name: field.type for field in fields(Settings)}
    given: dict[str, Any] = {}
    for variable, text in environment.items():
        if not variable.startswith(PREFIX):
            continue
        name = variable.removeprefix(PREFIX).lower()
        if name in _ELSEWHERE:
            continue
        if name not in known:
            raise SettingProblem(
                f"{variable} is not a setting; the settings are "
                + ", ".join(PREFIX + field.upper() for field in sorted(known))
            )
        kind = {"int": int, "float": float}.get(str(getattr(known[name], "__name__", "str")), str)
        given[name] = _read(name, kind, text)
    given.update({name: value for name, value in flags.items() if value is not None})
    return replace(Settings(), **given)


# Read by the test command and by the example scripts, not by the service.
_ELSEWHERE = {"no_skips", "url", "key"}
