"""The cautions are data, each with its source."""

import pytest

from service.science.cautions import caution, cautions
from service.science.errors import OutOfRange


@pytest.mark.parametrize("rule", cautions())
def test_every_caution_says_where_its_wording_comes_from(rule: str) -> None:
    found = caution(rule)
    assert found.source
    assert found.text.endswith(".")


def test_a_limit_stands_in_the_wording() -> None:
    assert "no hotter than 120 °C" in caution("solvent-into-hot-varnish", "120 °C").text


@pytest.mark.parametrize(("rule", "limit"), [("no-such-rule", None), ("oily-rags", "5 g")])
def test_a_rule_or_a_limit_without_a_wording_is_refused(rule: str, limit: str | None) -> None:
    with pytest.raises(OutOfRange):
        caution(rule, limit)
