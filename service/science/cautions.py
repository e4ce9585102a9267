"""The usual cautions of the trade, each under the rule that calls for it."""

from dataclasses import dataclass

from service.science.errors import OutOfRange
from service.science.tables import rows


@dataclass(frozen=True, slots=True)
class Caution:
    """What to say, the rule that calls for it, and where the wording comes from."""

    rule: str
    text: str
    source: str


def cautions() -> tuple[str, ...]:
    """List the rules that have a caution.

    Parameters: none. Raises: nothing. Source: tables/cautions.csv.

    >>> "oily-rags" in cautions()
    True
    """
    return tuple(row["rule"] for row in rows("cautions.csv"))


def caution(rule: str, limit: str | None = None) -> Caution:
    """Give the wording of a caution, with a figure worked out for the case where there is one.

    Parameters: rule [one of `cautions()`]; limit [a value with its unit such as 120 °C, None if
    not known].
    Raises: OutOfRange for a rule that is not in the table, or a limit that its wording has no
    place for.
    Source: tables/cautions.csv, common practice.

    >>> caution("solvent-into-hot-varnish", "120 °C").text.partition("; ")[2]
    'pour no hotter than 120 °C.'
    """
    row = next((row for row in rows("cautions.csv") if row["rule"] == rule), None)
    if row is None:
        raise OutOfRange(f"“{rule}” has no caution", f"use one of: {', '.join(cautions())}")
    if limit is None:
        return Caution(rule, row["text"], row["source"])
    if not row["text_with_limit"]:
        raise OutOfRange(f"the caution “{rule}” takes no figure", "leave the figure out")
    return Caution(rule, row["text_with_limit"].replace("{limit}", limit), row["source"])
