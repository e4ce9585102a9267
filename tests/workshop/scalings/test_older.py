"""What was frozen by an earlier edition is still told, and nothing in it is changed."""

from typing import Any

from service.workshop.scalings.bodies import ScalingOut
from service.workshop.scalings.told.older import in_todays_shape
from tests.client import Client
from tests.makers import scalings

LATER = ("limited_by", "losses", "to_make", "flags", "fill", "heat", "bench", "sent")
LATER_OF_A_LINE = ("how", "tolerance", "condition", "others")
LATER_OF_A_CAUTION = ("stage", "danger", "why", "shown")


def without(row: dict[str, Any], names: tuple[str, ...]) -> dict[str, Any]:
    return {name: value for name, value in row.items() if name not in names}


def test_a_scaling_of_an_earlier_edition_is_told_as_it_was(client: Client) -> None:
    scalings.shop(client)
    made = without(scalings.scaling(client), ("summary", *LATER))
    made["lines"] = [without(line, LATER_OF_A_LINE) for line in made["lines"]]
    made["cautions"] = [without(one, LATER_OF_A_CAUTION) for one in made["cautions"]]
    told = ScalingOut.model_validate(in_todays_shape(made)).model_dump(by_alias=True)
    assert (told["flags"], told["fill"], told["bench"]) == ([], None, None)
    assert [line["how"] for line in told["lines"]] == ["as it was frozen"] * 4
    assert {one["stage"] for one in told["cautions"]} == {"cook", "thin"}
    assert [without(line, LATER_OF_A_LINE) for line in told["lines"]] == made["lines"]
