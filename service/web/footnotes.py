"""Footnotes of a document: each figure's basis told once, under a name that figures refer to."""

from typing import Any


class Footnotes:
    """Collects notes; the same note twice gets one name."""

    def __init__(self) -> None:
        self._notes: dict[str, dict[str, Any]] = {}

    def add(self, name: str, note: dict[str, Any]) -> str:
        """The name under which the note stands: the one wished for, or that with a number."""
        for held, content in self._notes.items():
            if content == note:
                return held
        free = name
        count = 1
        while free in self._notes:
            count += 1
            free = f"{name}_{count}"
        self._notes[free] = note
        return free

    def as_json(self) -> dict[str, dict[str, Any]]:
        return dict(self._notes)
