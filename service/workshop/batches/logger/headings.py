"""The columns of a logger's file, found by their headings: pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.errors import Fault
from service.workshop.batches.bodies.cook_files import LogForm
from service.workshop.batches.logger.cells import Way, Wrong, celsius, running_number, stating
from service.workshop.batches.logger.times import Unclear, reader
from service.workshop.batches.rules import LoggerFile

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}
_MOST_HEADINGS = 8


@dataclass(frozen=True, slots=True)
class Columns:
    """Where in a row each thing stands; `last` is the rightmost place."""

    at: Sequence[int]
    temperature: int
    seq: int | None
    remark: int | None
    last: int


@dataclass(frozen=True, slots=True)
class Headings:
    """The row of the headings, and the rows just below it, in which they may really stand."""

    form: LogForm
    names: Sequence[str]
    below: Sequence[Sequence[str]]

    def columns(self) -> Columns:
        """Where the stated columns stand. Raises LoggerFile."""
        form = self.form
        wanted = {
            "at": form.at,
            "temperature": [form.temperature],
            "seq": [form.seq] if form.seq else [],
            "remark": [form.remark] if form.remark else [],
        }
        faults = tuple(
            self._missing(parameter, name)
            for parameter, names in wanted.items()
            for name in names
            if self.names.count(name) != 1
        )
        if faults:
            raise LoggerFile(faults[0].detail, faults)
        places = [self.names.index(name) for names in wanted.values() for name in names]
        return Columns(
            at=[self.names.index(name) for name in form.at],
            temperature=self.names.index(form.temperature),
            seq=self.names.index(form.seq) if form.seq else None,
            remark=self.names.index(form.remark) if form.remark else None,
            last=max(places),
        )

    def _missing(self, parameter: str, name: str) -> Fault:
        """A heading that is not there, or twice, and what else it may be."""
        count, row = self.names.count(name), self.form.header_row
        there = ", ".join(heading for heading in self.names if heading)[:300] or "none"
        wrong = (
            f"Row {row} has {count} columns {name!r}."
            if count
            else (f"Row {row} has no column {name!r}.")
        )
        return Fault(
            wrong,
            "column-twice" if count else "column-missing",
            parameter=parameter,
            hint=f"There: {there}.",
            remedies=tuple(
                stating(when, change)
                for when, change in (() if count else self._ways(parameter, name))
            ),
        )

    def _ways(self, parameter: str, name: str) -> Iterator[Way]:
        whole = SEPARATORS[self.form.separator].join(self.names)
        for word, mark in SEPARATORS.items():
            if word != self.form.separator and name in map(str.strip, whole.split(mark)):
                yield f"the columns are parted by a {word}", {"separator": word}
                return
        for number, row in enumerate(self.below, self.form.header_row + 1):
            if name in row:
                yield f"the headings stand in row {number}", {"header_row": number}
                return
        sample = next(iter(self.below), ())
        for heading, cell in list(zip(self.names, sample, strict=False))[:_MOST_HEADINGS]:
            if heading and self._could_be(parameter, cell):
                sent = [heading] if parameter == "at" else heading
                yield f"the column {heading!r} is meant", {parameter: sent}

    def _could_be(self, parameter: str, cell: str) -> bool:
        """Whether a cell reads as what the parameter asks for."""
        try:
            if parameter == "at":
                reader(self.form)(cell)
            elif parameter == "temperature":
                return celsius(cell, self.form)[0] is not None
            elif parameter == "seq":
                running_number(cell)
        except (Unclear, Wrong):
            return False
        return True
