"""What materials, hazards and list prices may be, without a database."""

from datetime import date
from decimal import Decimal

import pytest

from service.science.driers import drier_metals
from service.science.formulas import atomic_weight
from service.workshop.materials import rules
from service.workshop.materials.rules import ListPrice

DAY = date(2026, 11, 2)


def test_the_metals_are_those_of_driers_soaps_and_alum() -> None:
    assert {*drier_metals(), "Na", "K", "Al", "Cu"} == set(rules.metals())
    assert all(atomic_weight(metal) > 20 for metal in rules.metals())


@pytest.mark.parametrize(
    ("code", "category"),
    # CLP 2008/1272 Annex I, tables 2.6.2, 3.4.4 and 4.1.4; Annex II 1.2.4 names no class.
    [("H226", "Flam. Liq. 3"), ("H317", "Skin Sens. 1B"), ("H411", "Aquatic Chronic 2")],
)
def test_a_statement_fits_its_category_and_no_other(code: str, category: str) -> None:
    assert rules.category_problem(code, category) is None
    assert rules.category_problem(code, None) is None
    assert category in (rules.category_problem(code, "Ox. Gas 1") or "")
    assert rules.category_problem("EUH066", category)


def test_every_category_of_the_table_is_read_whole() -> None:
    table = rules.hazard_categories()
    assert table["H304"] == ("Asp. Tox. 1",)
    assert table["EUH066"] == ()
    assert not any("|" in each or each != each.strip() for row in table.values() for each in row)
    assert not any("+" in code for code in table)


@pytest.mark.parametrize(
    ("pairs", "place"),
    [
        ([], None),
        ([("H335", "STOT SE 3"), ("H336", "STOT SE 3")], None),
        ([("H314", "Skin Corr. 1A"), ("H314", "Skin Corr. 1B")], None),
        ([("H314", None), ("H315", None), ("H314", None)], 2),
        ([("H314", None), ("H314", "Skin Corr. 1A")], 1),
        ([("H314", "Skin Corr. 1A"), ("H314", None)], 1),
        ([("H314", "Skin Corr. 1A"), ("H314", "Skin Corr. 1A")], 1),
    ],
)
def test_a_repeated_statement_is_found(
    pairs: list[tuple[str, str | None]], place: int | None
) -> None:
    assert rules.repeated(pairs) == place


@pytest.mark.parametrize("kind", ["container", "closure", "label"])
def test_what_is_counted_is_priced_by_the_piece(kind: str) -> None:
    assert rules.price_faults(kind, ListPrice(Decimal(1), "piece", "a list", DAY)) == ()
    (fault,) = rules.price_faults(kind, ListPrice(Decimal(1), "kg", "a list", DAY))
    assert fault.pointer == "#/price/per"


def test_all_that_a_price_lacks_is_said_at_once() -> None:
    faults = rules.price_faults("ingredient", ListPrice(Decimal(1), "piece", None, None))
    assert [fault.pointer for fault in faults] == ["#/price/per", "#/price_source", "#/price_on"]
    assert rules.price_faults("ingredient", ListPrice(None, None, None, None)) == ()


@pytest.mark.parametrize(
    ("name", "stated", "lacks"),
    [
        ("viscosity", {"source"}, "temperature"),
        ("viscosity", {"source", "temperature"}, ""),
        ("viscosity", {"temperature"}, "source"),
        ("kinematic_viscosity", {"source"}, "temperature"),
        ("flow_time", {"source", "method"}, ""),  # a cup's method says how warm it is
        ("density", {"source"}, ""),
    ],
)
def test_a_viscosity_needs_its_temperature(name: str, stated: set[str], lacks: str) -> None:
    known = rules.properties()[name]
    assert rules.missing_evidence(known, basis="declared", stated=stated) == lacks
