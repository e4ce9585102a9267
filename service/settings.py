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
    open_calculations: bool = False
    calculations_per_minute: int = 600

    def __post_init__(self) -> None:
        _check_range("PORT", self.port, 0, 65535)
        _check_range("WORKERS", self.workers, 1, 64)
        _check_range("CALCULATIONS_PER_MINUTE", self.calculations_per_minute, 0, 1_000_000)
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
    if kind is bool:
        return _yes_no(name, text)
    try:
        return kind(text)
    except ValueError:
        raise SettingProblem(
            f"{PREFIX}{name.upper()} is {text!r}; send "
            + ("a whole number" if kind is int else "a number")
        ) from None


def _yes_no(name: str, text: str) -> bool:
    if text.strip().lower() not in {"yes", "no"}:
        raise SettingProblem(f"{PREFIX}{name.upper()} is {text!r}; send yes or no")
    return text.strip().lower() == "yes"


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
        kind = _KINDS.get(str(getattr(known[name], "__name__", "str")), str)
        given[name] = _read(name, kind, text)
    given.update({name: value for name, value in flags.items() if value is not None})
    return replace(Settings(), **given)


def as_environment(settings: Settings) -> dict[str, str]:
    """The variables that `from_environment` reads back as the same settings."""
    values = {field.name: getattr(settings, field.name) for field in fields(settings)}
    return {
        PREFIX + name.upper(): ("no", "yes")[value] if isinstance(value, bool) else str(value)
        for name, value in values.items()
    }


_KINDS: dict[str, type] = {"int": int, "float": float, "bool": bool}
# Read by the test command and by the example scripts, not by the service.
_ELSEWHERE = {"no_skips", "url", "key"}
