"""What the name of a number says: its unit stands at the end, as in `mass_g` or `density_kg_l`."""

import functools
from typing import NamedTuple

from service.science.tables import rows


class NamedUnit(NamedTuple):
    """The unit in a name, the dimension whose spellings it takes (None: bare), and the rest."""

    unit: str
    dimension: str | None
    subject: str


_BARE = "1"


def named_unit(name: str) -> NamedUnit:
    """Read the unit off the name of a parameter or a result.

    Parameters: name [text, words joined by underscores]. Raises: nothing; a name without a known
    ending is a plain number.
    Returns: the unit, the dimension it is parsed as, and the words before it.
    Source: tables/name_units.csv.

    >>> named_unit("film_density_kg_l")
    NamedUnit(unit='kg/l', dimension='density', subject='film density')
    """
    return _read(name)


@functools.cache
def _read(name: str) -> NamedUnit:
    words = name.split("_")
    for start in range(len(words)):
        if row := _endings().get("_".join(words[start:])):
            whole = start == 0 or row["ending"].endswith(("number", "value"))
            subject = " ".join(words if whole else words[:start])
            return NamedUnit(row["unit"], row["dimension"] or None, subject)
    return NamedUnit(_BARE, None, " ".join(words))


def words(name: str) -> str:
    """Say the name of a number in words, a place in a list or a record included.

    Parameters: name [text, such as `mass_g` or `oils/0/density_kg_l`]. Raises: nothing.
    Returns: the words, such as `mass in g`.
    Source: tables/name_units.csv.

    >>> words("oils/0/density_kg_l")
    'density in kg/l'
    """
    steps = [step for step in name.split("/") if not step.isdigit()]
    found = named_unit(steps[-1] if steps else name)
    return found.subject if found.unit == _BARE else f"{found.subject} in {found.unit}"


@functools.cache
def _endings() -> dict[str, dict[str, str]]:
    return {row["ending"]: row for row in rows("name_units.csv")}
