"""What the rules of derived lines refuse, and the values they say they lack."""

from decimal import Decimal
from typing import Any

import pytest

from service.science.errors import NotApplicable, OutOfRange, ScienceError
from service.science.pots import Lacking, Substance
from tests.science.pots_made import (
    ALCOHOL,
    DRIER,
    MN_RESINATE,
    OIL,
    ROSIN,
    SHELLAC,
    SPIRIT,
    WATER,
    line_by_rule,
    reagent,
)

ZINC = reagent("ZnO")
SALT = reagent("ZnSO4.7H2O", family="salt")
LYE = reagent("NaOH", family="base")
TWO_METALS = DRIER._replace(metals=(("Co", Decimal(6)), ("Mn", Decimal(2))))
NO_VALUE = ROSIN._replace(name="COLOPHONY", acid_value=None)


@pytest.mark.parametrize(
    ("substance", "name", "amount", "pot", "missing"),
    [
        (ZINC, "neutralise", 50, [(NO_VALUE, 10)], (("COLOPHONY", "acid value"),)),
        (
            ZINC._replace(formula=None),
            "neutralise",
            50,
            [(ROSIN, 10)],
            (("ZnO", "formula with its crystal water"),),
        ),
        (
            ZINC._replace(assay_percent=None),
            "neutralise",
            50,
            [(ROSIN, 10)],
            (("ZnO", "assay"),),
        ),
        (
            SALT,
            "precipitate",
            100,
            [(LYE._replace(assay_percent=None), 10), (LYE, 1)],
            (("NaOH", "assay"),),
        ),
        (OIL, "metal", "0.05", [(OIL, 10)], (("OIL", "metal content"),)),
        (WATER, "solids", 50, [(OIL, 10)], (("WATER", "non-volatile"),)),
        (SPIRIT, "solids", 50, [(DRIER, 1), (DRIER, 2)], (("DRIER", "non-volatile"),)),
        (SPIRIT, "volume", 50, [(OIL, 10)], (("what is made", "density"),)),
        (SPIRIT, "cut", 2, [(SHELLAC, 10)], (("SPIRIT", "density"),)),
        (WATER, "strength", 40, [(SPIRIT, 10)], (("SPIRIT", "ethanol by volume"),)),
    ],
)
def test_what_is_lacking_is_named_by_line_material_and_property(
    substance: Substance,
    name: str,
    amount: Any,
    pot: list[tuple[Substance, Any]],
    missing: tuple[tuple[str, str], ...],
) -> None:
    with pytest.raises(Lacking) as refused:
        line_by_rule(substance, name, amount, *pot)
    assert refused.value.missing == missing
    assert refused.value.line == len(pot) + 1
    assert refused.value.field == f"lines/{len(pot) + 1}"


@pytest.mark.parametrize(
    ("substance", "name", "amount", "pot", "refusal"),
    [
        (ZINC, "neutralise", 50, [(OIL, 10)], NotApplicable),
        (OIL._replace(formula="C2H6O"), "neutralise", 50, [(ROSIN, 10)], NotApplicable),
        (SALT, "neutralise", 50, [(ROSIN, 10)], NotApplicable),
        (ZINC, "neutralise", None, [(ROSIN, 10)], OutOfRange),
        (ZINC, "neutralise", 0, [(ROSIN, 10)], OutOfRange),
        (ZINC, "neutralise", 101, [(ROSIN, 10)], OutOfRange),
        (SALT, "precipitate", 100, [(ROSIN, 10)], NotApplicable),
        (ZINC, "precipitate", 100, [(LYE, 10)], NotApplicable),
        (SALT, "precipitate", 101, [(LYE, 10)], OutOfRange),
        (TWO_METALS, "metal", "0.05", [(OIL, 10)], NotApplicable),
        (DRIER, "metal", "0.05", [(ROSIN, 10)], NotApplicable),
        (DRIER, "metal", "6.5", [(OIL, 10)], OutOfRange),
        (DRIER._replace(metals=(("Pb", Decimal(24)),)), "metal", 1, [(OIL, 10)], NotApplicable),
        (MN_RESINATE, "metal", 6, [(OIL, 10)], OutOfRange),
        (SPIRIT, "solids", 55, [(OIL, 5), (SPIRIT, 5)], OutOfRange),
        (SPIRIT, "solids", 50, [(OIL, 5), (SPIRIT, 5)], OutOfRange),
        (SPIRIT, "solids", 50, [], OutOfRange),
        (OIL, "solids", 50, [(OIL, 5)], OutOfRange),
        (OIL, "per-binder", 5, [(SPIRIT, 5)], NotApplicable),
        (ALCOHOL, "cut", 2, [(OIL, 5)], NotApplicable),
        (ALCOHOL, "cut", "8.1", [(SHELLAC, 5)], OutOfRange),
        (WATER, "strength", 40, [(OIL, 5)], NotApplicable),
        (WATER, "strength", 96, [(ALCOHOL, 5)], OutOfRange),
        (WATER, "strength", 101, [(ALCOHOL, 5)], OutOfRange),
    ],
)
def test_what_cannot_be_is_refused_at_its_line(
    substance: Substance,
    name: str,
    amount: Any,
    pot: list[tuple[Substance, Any]],
    refusal: type[ScienceError],
) -> None:
    with pytest.raises(refusal) as refused:
        line_by_rule(substance, name, amount, *pot)
    assert refused.value.field == f"lines/{len(pot) + 1}"
    assert refused.value.hint


def test_a_volume_that_the_others_fill_is_refused() -> None:
    with pytest.raises(OutOfRange, match="already fill the volume"):
        line_by_rule(SPIRIT, "volume", 50, (OIL, 60), density=Decimal("0.9"))
