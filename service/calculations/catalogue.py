"""Every calculation there is: the tables of `catalogue/`, one file a topic, and what they name."""

import csv
import functools
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib import import_module
from importlib.resources import files
from typing import Any

from service.calculations.docstrings import Words, read
from service.calculations.inputs import Input, inputs_of, model_of
from service.web.fields import In


# Each is made once and is itself alone: by identity it can be the key of a cache.
@dataclass(frozen=True, slots=True, eq=False)
class Calculation:
    """One calculation: its name in addresses, the function behind it, and what it is for."""

    name: str
    topic: str
    purpose: str
    function: Callable[..., Any]
    words: Words
    inputs: tuple[Input, ...]
    body: type[In]

    @property
    def path(self) -> str:
        return f"/v1/calculations/{self.name}"

    @property
    def identifier(self) -> str:
        """The name as it stands in operation ids."""
        return self.name.replace("-", "_")


@functools.cache
def calculations() -> tuple[Calculation, ...]:
    """All of them, by topic and in the order of their tables."""
    return tuple(_made())


def _made() -> Iterator[Calculation]:
    tables = files(__package__).joinpath("catalogue").iterdir()
    for table in sorted(tables, key=lambda table: table.name):
        if not table.name.endswith(".csv"):
            continue
        topic = table.name.removesuffix(".csv").partition("-")[2].replace("-", " ")
        for row in csv.DictReader(table.read_text("utf-8").splitlines()):
            yield _calculation(row, topic)


def _calculation(row: dict[str, str], topic: str) -> Calculation:
    module, _, name = row["function"].rpartition(".")
    function = getattr(import_module(f"service.science.{module}"), name)
    inputs = inputs_of(function)
    title = "".join(part.capitalize() for part in row["name"].split("-")) + "In"
    return Calculation(
        name=row["name"],
        topic=topic,
        purpose=row["purpose"],
        function=function,
        words=read(function),
        inputs=inputs,
        body=model_of(title, inputs),
    )
