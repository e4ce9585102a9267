"""GTINs against an independent library."""

from hypothesis import given
from hypothesis import strategies as st
from stdnum import ean

from service.workshop.products.rules import gtin_problem

TRADED = st.sampled_from(["400", "731", "87", "9"])  # prefixes of no restricted range


@given(TRADED, st.text("0123456789", min_size=12, max_size=12))
def test_a_gtin_is_sound_where_python_stdnum_says_so(prefix: str, rest: str) -> None:
    number = (prefix + rest)[:13]
    assert (gtin_problem(number) is None) == ean.is_valid(number)


@given(TRADED, st.text("0123456789", min_size=12, max_size=12))
def test_the_check_digit_of_python_stdnum_is_taken(prefix: str, rest: str) -> None:
    body = (prefix + rest)[:12]
    assert gtin_problem(body + ean.calc_check_digit(body)) is None


def test_digits_of_another_script_are_no_gtin() -> None:
    assert gtin_problem("٤٠٠٦٣٨١٣٣٣٩٣١") is not None
