"""Whatever is sent as lines, stages and steps comes back the same in the answer."""

from decimal import Decimal
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.science.formulation import STAGES
from service.science.rounding import plain
from service.workshop.recipes.written.work_order import loss_problem
from tests.client import Client
from tests.makers import recipes

CAUSES = ("fumes", "water", "transfer", "straining", "residue", "evaporation", "settling", "oxygen")
WORDS = st.text("abc °é,", min_size=1, max_size=20).filter(lambda text: text == text.strip())
STAGE = st.sampled_from(STAGES)


def amounts(low: str, high: str, unit: str) -> st.SearchStrategy[dict[str, str]]:
    """An amount as it is shown: without zeros at its end."""
    numbers = st.decimals(low, high, places=3).filter(bool)
    return numbers.map(lambda number: {"value": bare(number), "unit": unit})


def bare(number: Decimal) -> str:
    return plain(number.normalize() + 0)


NUMBERS = st.decimals("0.001", "100", places=3).map(bare)
SHARES = amounts("0.001", "100", "%")
MINUTES = st.integers(1, 1439).map(lambda count: {"value": str(count), "unit": "min"})
DEGREES = amounts("-60", "1200", "°C")
EXCESS = st.one_of(st.just({"value": "0", "unit": "%"}), SHARES)
# Line 1 goes in first of all, so that every rule may look at it.
OF = st.sampled_from([[], [1]])
DERIVED = st.one_of(
    st.fixed_dictionaries(
        {
            "rule": st.sampled_from(["neutralise", "precipitate"]),
            "share": SHARES,
            "of": OF,
            "excess": EXCESS,
        }
    ),
    st.fixed_dictionaries(
        {
            "rule": st.just("metal"),
            "share": SHARES,
            "on": st.sampled_from(["oil", "oil and resin"]),
        }
    ),
    st.fixed_dictionaries({"rule": st.sampled_from(["solids", "per-binder"]), "share": SHARES}),
    st.fixed_dictionaries({"rule": st.just("volume"), "volume": amounts("0.001", "9999", "ml")}),
    st.fixed_dictionaries(
        {"rule": st.just("cut"), "cut": amounts("0.1", "10", "lb/US gal"), "of": OF}
    ),
    st.fixed_dictionaries(
        {"rule": st.just("strength"), "strength": amounts("1", "100", "% v/v"), "of": OF}
    ),
    st.fixed_dictionaries({"rule": st.just("as-needed"), "until": WORDS}),
)


def line(kind: str, amount: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(
        {"material": st.just("PLAIN-X"), "stage": STAGE, kind: amount},
        optional={"tolerance": amounts("0.001", "20", "%")},
    )


LINES = st.lists(st.one_of(line("parts", NUMBERS), line("derive", DERIVED)), max_size=6)


@st.composite
def steps(draw: st.DrawFn) -> dict[str, Any]:
    """One thing to do, as it is sent."""
    do = draw(st.sampled_from(["heat", "hold", "cool", "wait", "check", "strain", "note"]))
    times, heats = do in {"hold", "wait"}, do in {"heat", "cool"}
    found: dict[str, Any] = {do: draw(MINUTES if times else DEGREES if heats else WORDS)}
    if times or heats:
        found |= draw(st.fixed_dictionaries({}, optional={"until": WORDS}))
    if do == "heat":
        rate = amounts("0.01", "100", "K/min")
        found |= draw(st.fixed_dictionaries({}, optional={"ramp": rate}))
    return {**found, "stage": draw(STAGE)}


@st.composite
def stages(draw: st.DrawFn, stage: str) -> dict[str, Any]:
    """A stage with losses that it can have."""
    causes = draw(st.lists(st.sampled_from(CAUSES), unique=True, max_size=3))
    low = {cause: loss_problem(stage, cause, Decimal(-1)) is None for cause in causes}
    losses = {
        cause: draw(amounts("-9", "-0.001", "%") if low[cause] else amounts("0.001", "9", "%"))
        for cause in causes
    }
    told = st.fixed_dictionaries({}, optional={"lasts": MINUTES, "remark": WORDS})
    return {"stage": stage, "losses": losses, **draw(told)}


@st.composite
def versions(draw: st.DrawFn) -> dict[str, Any]:
    """A version of which no line can be worked out, so that any rule may stand in it."""
    first = {"material": "ROSIN", "parts": draw(NUMBERS), "stage": "other"}
    unknown = {"rule": "neutralise", "share": {"value": "45", "unit": "%"}, "of": [1]}
    second = {"material": "PLAIN-X", "stage": "other", "derive": {**unknown, "excess": ZERO}}
    order = ["other", *draw(st.permutations([each for each in STAGES if each != "other"]))]
    return {
        "lines": [first, second, *draw(LINES)],
        "steps": draw(st.lists(steps(), max_size=5)),
        "stages": [draw(stages(stage)) for stage in order],
    }


ZERO = {"value": "0", "unit": "%"}


def line_sent(shown: dict[str, Any]) -> dict[str, Any]:
    """A line as it would be sent: what is shown without what was worked out."""
    names = ("material", "stage", "parts", "percent", "derive", "tolerance")
    return {name: shown[name] for name in names if shown[name] is not None}


def step_sent(shown: dict[str, Any]) -> dict[str, Any]:
    what = shown["to"] or shown["for"] or shown["text"]
    more = {name: shown[name] for name in ("ramp", "until") if shown[name] is not None}
    return {shown["do"]: what, "stage": shown["stage"], **more}


def stage_sent(shown: dict[str, Any]) -> dict[str, Any]:
    more = {name: shown[name] for name in ("lasts", "remark") if shown[name] is not None}
    losses = {loss["cause"]: loss["percent"] for loss in shown["losses"]}
    return {"stage": shown["stage"], "losses": losses, **more}


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(versions())
def test_what_was_sent_comes_back_the_same(client: Client, body: dict[str, Any]) -> None:
    if client.get("/v1/materials/PLAIN-X").status_code == 404:
        recipes.shelf(client)
        recipes.material(client, "PLAIN-X")
        recipes.material(client, "MIX-X", kind="finished")
        recipes.recipe(client, {**body, "code": "MIX-X"}, approved=False)
    number = recipes.again(client, "MIX-X", body)["version"]
    shown = recipes.version(client, "MIX-X", number)
    assert [line_sent(each) for each in shown["lines"]] == body["lines"]
    assert [step_sent(each) for each in shown["steps"]] == body["steps"]
    assert [stage_sent(each) for each in shown["stages"]] == body["stages"]
