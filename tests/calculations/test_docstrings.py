"""Docstrings are read as they are written: ranges, units, choices, sections."""

from decimal import Decimal

import pytest

from service.calculations.docstrings import Range, read, read_range


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("any", Range(None, None, False, False)),
        ("above 0", Range(Decimal(0), None, True, False)),
        ("above 0 up to 100", Range(Decimal(0), Decimal(100), True, False)),
        ("above 0 to below 1", Range(Decimal(0), Decimal(1), True, True)),
        ("0.85-1.05", Range(Decimal("0.85"), Decimal("1.05"), False, False)),
        ("-20 to 40", Range(Decimal(-20), Decimal(40), False, False)),
        ("0 to below 100", Range(Decimal(0), Decimal(100), False, True)),
        ("1 or more", Range(Decimal(1), None, False, False)),
        ("up to 5", Range(None, Decimal(5), False, False)),
    ],
)
def test_a_range_in_words_is_a_range(words: str, expected: Range) -> None:
    assert read_range(words) == expected


@pytest.mark.parametrize("words", ["", "a few", "above", "one of `cups()`", "between 1 and 2"])
def test_other_words_are_no_range(words: str) -> None:
    assert read_range(words) is None


def weigh(mass_g: Decimal, masses_g: list[Decimal], *, cup: str) -> Decimal:
    """Weigh it.

    Parameters: mass_g [g, above 0; of the oil], as weighed; masses_g [g, each 1-2; one or more];
    cup [one of `cups()`].
    Returns: [kg/l] the answer. Raises: nothing.
    Source: ISO 1, table 2.

    >>> 1
    1
    """
    return mass_g


def test_a_docstring_is_taken_apart() -> None:
    said = read(weigh)
    assert said.purpose == "Weigh it."
    assert (said.unit, said.source) == ("kg/l", "ISO 1, table 2.")
    assert said.inputs["mass_g"].meaning == "of the oil; as weighed"
    assert said.inputs["masses_g"].range == Range(Decimal(1), Decimal(2), False, False)
    assert said.inputs["masses_g"].unit == "g"
    assert said.inputs["cup"].choices == "cups"
    assert said.inputs["cup"].unit is None


def test_a_function_without_words_stops_the_start_with_a_reason() -> None:
    with pytest.raises(LookupError, match="-OO"):
        read(lambda: None)
