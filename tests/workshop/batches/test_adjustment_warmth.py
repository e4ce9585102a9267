"""How a pot flows is read warm or cold: the sum says where it mixes figures that differ in that."""

from typing import Any

from tests.client import Client
from tests.makers.pots import add, aimed, pot, read


def remarks(found: dict[str, Any]) -> str:
    return "; ".join(found["proposal"]["remarks"])


def test_a_pot_read_warmer_than_the_figure_of_the_solvent_is_told_so(client: Client) -> None:
    code = pot(client)  # the figure is of 25 °C
    told = remarks(aimed(client, code, reading={"value": "90 s", "temperature": "40 °C"}))
    assert "the kinematic viscosity of WSPIRIT is of 25 °C and the pot was read at 40 °C" in told
    alike = remarks(read(client, code, "90 s", temperature="25.5 °C"))
    assert "WSPIRIT is of" not in alike


def test_a_pot_read_without_its_temperature_is_told_so(client: Client) -> None:
    told = remarks(aimed(client, pot(client), reading={"value": "90 s"}))
    assert "it is not said at which temperature the pot was read" in told


def test_a_step_says_that_it_was_read_warmer_than_the_one_before(client: Client) -> None:
    code = pot(client)
    aimed(client, code, reading={"value": "90 s", "temperature": "23 °C"})
    add(client, code, "100 g")
    found = read(client, code, "62 s", temperature="30 °C")
    assert found["state"] == "reached"
    first, last = (step["warmth"] for step in found["steps"])
    assert first is None
    assert last.startswith("read at 30 °C, before at 23 °C: ")


def test_an_answer_read_warmer_shows_nothing_of_what_was_added(client: Client) -> None:
    code = pot(client, viscosity=None)
    aimed(client, code, reading={"value": "90 s", "temperature": "23 °C"})
    add(client, code, "50 g")
    warmer = read(client, code, "75 s", temperature="30 °C")
    assert (warmer["state"], warmer["proposal"]) == ("undecided", None)
    assert "read at 30 °C, before at 23 °C" in warmer["undecided"]["text"]
    assert warmer["undecided"]["needs"] == "a reading at 23 °C"


def test_a_reading_beyond_the_cup_is_told_in_the_digits_that_were_read(client: Client) -> None:
    found = aimed(client, pot(client), reading={"value": "2 s"})
    assert found["undecided"]["text"].startswith("2 s is outside 30-100 s")
