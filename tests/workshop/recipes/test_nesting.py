"""How deep recipes may stand in one another, through HTTP."""

from tests.client import Client
from tests.makers import recipes
from tests.makers.recipes import refused

ROSIN = [{"material": "ROSIN", "parts": 1}]


def code(level: int) -> str:
    return f"MIX-{level}X"


def chain(client: Client, levels: int) -> None:
    """Intermediates of which each holds the one before, the first made of rosin."""
    recipes.shelf(client)
    for level in range(1, levels + 1):
        recipes.material(client, code(level), kind="intermediate")
        below = "ROSIN" if level == 1 else code(level - 1)
        body = {"code": code(level), "lines": [{"material": below, "parts": 1}]}
        client.made("/v1/recipes", body)


def test_twelve_levels_of_intermediates_are_taken_and_no_thirteenth(client: Client) -> None:
    chain(client, 13)
    recipes.material(client, "TOP-X", kind="finished")
    lines = [{"material": "OIL-LIN", "parts": 1}, {"material": code(13), "parts": 1}]
    problem = refused(client, "/v1/recipes", {"code": "TOP-X", "lines": lines})
    assert problem["type"] == "/problems/too-deep"
    assert problem["errors"][0]["pointer"] == "#/lines/1/material"
    path = " holds ".join(["TOP-X", *(code(level) for level in range(13, 0, -1))])
    assert problem["detail"] == f"13 intermediates would stand in one another: {path}."
    client.made("/v1/recipes", {"code": "TOP-X", "lines": [{"material": code(12), "parts": 1}]})


def test_what_stands_above_counts_as_well_as_what_stands_below(client: Client) -> None:
    chain(client, 13)
    recipes.material(client, "BASE-X", kind="intermediate")
    client.made("/v1/recipes", {"code": "BASE-X", "lines": [{"material": "ROSIN", "parts": 1}]})
    lines = {"lines": [{"material": "BASE-X", "parts": 1}], "why": "a base first"}
    problem = refused(client, f"/v1/recipes/{code(1)}/versions", lines)
    assert problem["type"] == "/problems/too-deep"
    assert problem["detail"].endswith(f"{code(2)} holds {code(1)} holds BASE-X.")


def test_a_recipe_that_would_be_one_level_too_many_stays_archived(client: Client) -> None:
    chain(client, 12)
    client.patch(f"/v1/recipes/{code(1)}", {"archived": True})
    for level, below in ((13, code(12)), (14, code(13))):
        recipes.material(client, code(level), kind="intermediate")
        lines = [{"material": below, "parts": 1}]
        client.made("/v1/recipes", {"code": code(level), "lines": lines})
    answer = client.patch(f"/v1/recipes/{code(1)}", {"archived": False})
    assert answer.status_code == 422, answer.text
    assert answer.json()["type"] == "/problems/too-deep"
    assert answer.json()["errors"][0]["pointer"] == "#/archived"
    again = client.post("/v1/recipes", {"code": "MIX-A", "makes": code(1), "lines": ROSIN})
    assert again.json()["type"] == "/problems/too-deep"
    assert again.json()["errors"][0]["pointer"] == "#/lines"
