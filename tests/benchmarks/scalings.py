"""What a scaling costs: as a sum beside a constant, and of a recipe beside one that was kept.

`python -m tests.benchmarks.scalings` prints CPU time per request, medians of interleaved rounds in
one process. The recipe has 40 lines and three levels of intermediates.
"""

import asyncio
import json
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from fastapi import APIRouter

from service import running
from service.app import create_app, create_store
from service.calculations.answers import answer
from service.calculations.bodies import CalculationOut
from service.calculations.catalogue import Calculation, calculations
from service.calculations.inputs import given_to
from service.office.audit.queries import head
from service.office.documents.actions import freeze_revision
from service.settings import Settings
from service.store.numbers import yearly
from service.web.recordless import RecordlessRoute
from service.web.route import Route
from service.web.sessions import Writing
from service.workshop.scalings.bodies import ScalingIn, ScalingMade
from tests.client import Client
from tests.makers import recipes, scalings

ROUNDS, CALLS, RECORD_CALLS = 9, 200, 30
NAMES = "ROSIN ELEMI OIL-LIN OIL-TUNG WAX DRIER-CO DRIER-ZR SPIRIT TURPS ALCOHOL TINT GUARD"
LINES = [
    {
        "name": name,
        "amount": f"{3 + 1.25 * place}",
        "basis": "parts" if place % 4 else "percent",
        "stage": "cook" if place < 7 else "thin",
    }
    for place, name in enumerate(NAMES.split())
]
ASKED = {
    "lines": LINES,
    "makes_g": "5490",
    "readability_g": "0.1",
    "stages": [
        {"stage": "cook", "loss_percent": "3"},
        {"stage": "thin", "loss_percent": "0.5"},
        {"stage": "strain", "loss_percent": "1.5"},
    ],
}
LEVELS, MANY = 3, 40


async def called(app: Any, method: str, path: str, *, body: bytes, key: str | None) -> int:
    """One request straight into the app; its status."""
    status = 0

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: dict[str, Any]) -> None:
        nonlocal status
        status = message.get("status", status)

    address, _, query = path.partition("?")
    headers = [(b"content-type", b"application/json"), (b"content-length", b"%d" % len(body))]
    if key is not None:
        headers.append((b"authorization", f"Bearer {key}".encode()))
    scope = {
        "type": "http",
        "method": method,
        "path": address,
        "raw_path": address.encode(),
        "query_string": query.encode(),
        "headers": headers,
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 80),
        "scheme": "http",
        "http_version": "1.1",
    }
    await app(scope, receive, send)
    return status


def cpu_us(ask: Callable[[], Any], calls: int) -> float:
    """CPU microseconds a request, over one round."""

    async def run() -> None:
        for _ in range(calls):
            assert await ask() in (200, 201)

    began = time.process_time()
    asyncio.run(run())
    return (time.process_time() - began) / calls * 1e6


def compared(
    floor: Callable[[], Any], wanted: Callable[[], Any], calls: int
) -> tuple[float, float]:
    """CPU microseconds of both, medians of interleaved rounds after one to warm up."""
    rounds = [[cpu_us(ask, calls) for ask in (floor, wanted)] for _ in range(ROUNDS + 1)][1:]
    first, second = (statistics.median(column) for column in zip(*rounds, strict=True))
    return first, second


def as_a_sum(floor: str) -> tuple[float, float]:
    """The calculation beside one of the three floors below."""
    settings = Settings(database_url="sqlite://", open_calculations=True, calculations_per_minute=0)
    app = create_app(settings)
    one = next(each for each in calculations() if each.name == "scaling")
    body_of: Any = one.body
    instead = FLOORS[floor](one, body_of.model_validate(ASKED))

    async def constant(asked: body_of) -> CalculationOut:
        return instead(asked)

    router = APIRouter(route_class=RecordlessRoute)
    router.add_api_route("/constant", constant, methods=["POST"], response_model=CalculationOut)
    # Next to the sum itself, so that finding the route costs both the same.
    place = next(at for at, route in enumerate(app.router.routes) if route.path == one.path)
    app.router.routes[place:place] = router.routes
    body = json.dumps(ASKED).encode()
    return compared(
        lambda: called(app, "POST", "/constant", body=body, key=None),
        lambda: called(app, "POST", one.path, body=body, key=None),
        CALLS,
    )


def _parsed_and_responded(one: Calculation, sent: Any) -> Callable[[Any], CalculationOut]:
    """The body made arguments, and a kept result written as an answer: all but the calculation."""
    kept = one.function(**given_to(one.inputs, sent))
    without = replace(one, function=lambda **_: kept)
    return lambda asked: answer(without, asked)


def _built(one: Calculation, sent: Any) -> Callable[[Any], CalculationOut]:
    """An answer built and validated from plain values that were written before."""
    plain = answer(one, sent).model_dump()
    return lambda _: CalculationOut.model_validate(plain)


def _ready_made(one: Calculation, sent: Any) -> Callable[[Any], CalculationOut]:
    """One answer for all."""
    found = answer(one, sent)
    return lambda _: found


FLOORS = {"all but the sum": _parsed_and_responded, "built": _built, "ready-made": _ready_made}


def many_lines(client: Client) -> str:
    """A recipe of 40 lines, in it three intermediates, each made of the one before; its code."""
    scalings.bench(client)
    known = recipes.figures("0.93", "100")
    for n in range(MANY):
        more = {"family": "drying-oil", "figures": known, "autoxidising": True}
        recipes.material(client, f"OIL-{n:02}", **more)
    inside: list[dict[str, Any]] = []
    for level in range(1, LEVELS + 1):
        code = f"BASE-{level}"
        recipes.material(client, code, kind="intermediate")
        lines = [{"material": f"OIL-{n:02}", "parts": n + 1} for n in range(3)]
        recipes.recipe(client, {"code": code, "lines": [*lines, *inside[-1:]]})
        inside.append({"material": code, "parts": level})
    recipes.material(client, "WHOLE", kind="finished")
    rest = [{"material": f"OIL-{n:02}", "parts": n + 1} for n in range(MANY - LEVELS)]
    recipes.recipe(client, {"code": "WHOLE", "lines": [*inside, *rest]})
    return "WHOLE"


def with_stored(app: Any, kept: dict[str, Any]) -> None:
    """The same route, through the same kernel, with a stored answer of equal size: a number is
    drawn, the stored content frozen under it, and answered."""

    def create_scaling(code: str, wanted: ScalingIn, session: Writing) -> ScalingMade:
        number = yearly(session, "SC", session.now.year)
        content = {**kept, "scaling": number}
        freeze_revision(session, "scaling", number, content, audit_head=head(session)[1])
        return ScalingMade.model_validate(content)

    router = APIRouter(route_class=Route)
    path = "/v1/recipes/{code}/stored"
    router.add_api_route(path, create_scaling, methods=["POST"], status_code=201)
    place = next(at for at, one in enumerate(app.router.routes) if one.path.endswith("/scalings"))
    app.router.routes[place:place] = router.routes


def of_a_recipe(folder: Path) -> tuple[float, float]:
    """A scaling that is worked out, beside the same route with a stored answer; dry runs both."""
    settings = Settings(database_url=f"sqlite:///{folder}/scalings.sqlite")
    running.make_fit(settings.database_url)
    key = running.create_key(settings, "benchmark", "all", None)
    app = create_app(settings, create_store(settings))
    client = Client(app, key)
    code = many_lines(client)
    asked = {"for": "40 kg"}
    with_stored(app, client.made(f"/v1/recipes/{code}/scalings", asked))
    body, path = json.dumps(asked).encode(), f"/v1/recipes/{code}"
    return compared(
        lambda: called(app, "POST", f"{path}/stored?dry_run=true", body=body, key=key),
        lambda: called(app, "POST", f"{path}/scalings?dry_run=true", body=body, key=key),
        RECORD_CALLS,
    )


def told(name: str, found: tuple[float, float], goal: str) -> None:
    floor, wanted = found
    print(f"{name:12}{floor:10.0f}{wanted:13.0f}{wanted / floor:8.2f}   goal {goal}")


def main() -> None:
    print(f"{'scaling':12}{'floor µs':>10}{'scaling µs':>13}{'ratio':>8}")
    for floor in FLOORS:
        told("as a sum", as_a_sum(floor), f"<= 1.15 beside all but the sum; floor: {floor}")
    with tempfile.TemporaryDirectory() as folder:
        told("of a recipe", of_a_recipe(Path(folder)), "< 3")


if __name__ == "__main__":
    main()
