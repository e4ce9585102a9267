"""The usual cautions of the trade, each under the rule that calls for it."""

from collections.abc import Sequence
from typing import NamedTuple

from service.science.errors import OutOfRange
from service.science.ranges import count, one_of
from service.science.results import Standing
from service.science.tables import rows

_LONGEST_LIMIT = 40
_NOT_NEEDED = "as the flags were sent, nothing was tested; rags with solvent burn all the same"


class Caution(NamedTuple):
    """What to say, the rule that calls for it, and where the wording comes from."""

    text: str
    rule: str
    source: str


class Ingredient(NamedTuple):
    """What is in a recipe.

    Fields: name [text, of the material]; autoxidising [yes or no, yes for what takes up oxygen and
    warms by it, as drying oils do]; on_purpose [yes or no, no for a trace that nobody added].
    """

    name: str
    autoxidising: bool
    on_purpose: bool = True


class RagCaution(NamedTuple):
    """Whether the caution about oily rags is needed, its wording, and the ingredients behind it."""

    needed: bool
    text: str | None
    because: tuple[str, ...]
    standing: Standing
    why: str
    notes: tuple[str, ...]


def cautions() -> tuple[str, ...]:
    """List the rules that have a caution.

    Parameters: none. Raises: nothing. Returns: their names. Source: common practice of the
    trade, tables/cautions.csv.

    >>> "oily-rags" in cautions()
    True
    """
    return tuple(row["rule"] for row in rows("cautions.csv"))


def caution(rule: str, limit: str | None = None) -> Caution:
    """Give the wording of a caution, with a figure worked out for the case where there is one.

    Parameters: rule [one of `cautions()`]; limit [text, a value with its unit such as 120 °C, up
    to 40 characters], None if not known.
    Returns: the wording, the rule and where the wording comes from.
    Raises: OutOfRange for a rule that is not in the table, or a limit that its wording has no
    place for.
    Source: common practice of the trade, not a legal wording, tables/cautions.csv.

    >>> caution("solvent-into-hot-varnish", "120 °C").text.partition("; ")[2]
    'pour no hotter than 120 °C.'
    """
    one_of(rule, cautions(), name="rule")
    row = next(row for row in rows("cautions.csv") if row["rule"] == rule)
    if limit is None:
        return Caution(row["text"], rule, row["source"])
    if not row["text_with_limit"]:
        raise OutOfRange(
            f"the caution “{rule}” takes no figure", "leave the figure out", field="limit"
        )
    if len(limit) > _LONGEST_LIMIT:
        raise OutOfRange(
            f"a figure of {len(limit)} characters is too long",
            "send a value with its unit, such as 120 °C",
            field="limit",
        )
    return Caution(row["text_with_limit"].replace("{limit}", limit), rule, row["source"])


def rag_caution(ingredients: Sequence[Ingredient]) -> RagCaution:
    """Say whether rags soaked in a product can catch fire by themselves.

    Parameters: ingredients [list of `Ingredient`; one or more, whatever their share].
    Returns: whether the caution is needed, its wording, and the ingredients that call for it.
    Raises: NotApplicable without an ingredient, OutOfRange for too many.
    Source: common practice: any share of an autoxidising ingredient added on purpose calls for it.

    >>> rag_caution([Ingredient("tung oil", True), Ingredient("rosin", False)]).because
    ('tung oil',)
    """
    count(ingredients, 1, name="ingredients")
    because = tuple(each.name for each in ingredients if each.autoxidising and each.on_purpose)
    return RagCaution(
        bool(because),
        caution("oily-rags").text if because else None,
        because,
        Standing.CONVENTION,
        "it follows the flags as they were sent; nothing was tested",
        () if because else (_NOT_NEEDED,),
    )
