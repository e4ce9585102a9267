"""Every calculation answers as the outside sources in `golden/` do, and names who checked them."""

import pytest

from service.science.errors import ScienceError
from service.science.results import Estimate
from tests.science.golden_rows import (
    COLUMNS,
    Row,
    arguments_of,
    check,
    every_row,
    function_of,
    name_of,
    rows,
    tables,
)

ROWS = [pytest.param(row, id=f"{table}: {name_of(row)}") for table, row in every_row()]


@pytest.mark.parametrize("row", ROWS)
def test_the_value_agrees_with_its_source(row: Row) -> None:
    if row["expected"] == "refuse":
        with pytest.raises(ScienceError):
            function_of(row)(**arguments_of(row))
        return
    found = function_of(row)(**arguments_of(row))
    found = found.value if isinstance(found, Estimate) else found
    check(getattr(found, row["field"]) if row["field"] not in ("", "value") else found, row)


@pytest.mark.parametrize("table", tables())
def test_each_value_names_its_source_and_what_recomputed_it(table: str) -> None:
    for row in rows(table):
        assert list(row) == COLUMNS
        assert row["source"], row
        assert row["checked_by"], row
