"""What a sum costs beside the same endpoint with a constant, and what importing the science costs.

`python -m tests.benchmarks.sums` prints CPU time per request, medians of interleaved rounds in one
process, and wall time of imports over a bare interpreter.
"""

import asyncio
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from typing import Any

from fastapi import APIRouter

from service.app import create_app
from service.calculations.answers import answer
from service.calculations.bodies import CalculationOut
from service.calculations.catalogue import calculations
from service.settings import Settings
from service.web.recordless import RecordlessRoute

ROUNDS, CALLS = 9, 200
ASKED: dict[str, dict[str, Any]] = {
    "flow-cup": {"cup": "ISO2431-4", "seconds": 62},
    "oil-length": {
        "oils": [{"mass_g": 600, "density_kg_l": "0.93"}, {"mass_g": 200, "density_kg_l": "0.937"}],
        "resins_g": [400],
        "basis": "as charged",
    },
}
IMPORT = (
    "from importlib import import_module as load; import pkgutil, service.science as s\n"
    "for m in pkgutil.iter_modules(s.__path__): load('service.science.' + m.name)"
)


def with_constants(app: Any) -> None:
    """Beside each sum the same endpoint, its body read and validated, answering a constant."""
    routes = app.router.routes
    for name, body in ASKED.items():
        one = next(each for each in calculations() if each.name == name)
        router = APIRouter(route_class=RecordlessRoute)
        router.add_api_route(
            f"/constant/{name}",
            _constant(one.body, answer(one, one.body.model_validate(body))),
            methods=["POST"],
            response_model=CalculationOut,
            name=f"constant_{name}",
        )
        # Next to the sum itself, so that finding the route costs both the same.
        place = next(at for at, route in enumerate(routes) if route.path == one.path)
        routes[place:place] = router.routes


def _constant(kind: Any, found: CalculationOut) -> Callable[..., Any]:
    # The body's type is known only at run time, as in the routes of the sums themselves.
    async def constant(asked: kind) -> CalculationOut:  # type: ignore[valid-type]
        return found

    return constant


async def called(app: Any, path: str, body: bytes) -> int:
    """One request straight into the app; its status."""
    status = 0

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: dict[str, Any]) -> None:
        nonlocal status
        status = message.get("status", status)

    headers = [(b"content-type", b"application/json"), (b"content-length", b"%d" % len(body))]
    scope = {
        "type": "http",
        "method": "POST",
        "path": path,
        "raw_path": path.encode(),
        "query_string": b"",
        "headers": headers,
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 80),
        "scheme": "http",
        "http_version": "1.1",
    }
    await app(scope, receive, send)
    return status


def cpu_us(app: Any, path: str, body: bytes) -> float:
    """CPU microseconds a request, over one round."""

    async def run() -> None:
        for _ in range(CALLS):
            assert await called(app, path, body) == 200

    began = time.process_time()
    asyncio.run(run())
    return (time.process_time() - began) / CALLS * 1e6


def imported_ms(code: str) -> float:
    """The best of seven starts of an interpreter with that code."""
    times = []
    with tempfile.TemporaryDirectory() as compiled:
        # As installed: compiled once, whatever the shell says of bytecode.
        kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        for _ in range(8):
            began = time.perf_counter()
            environment = {**kept, "PYTHONPYCACHEPREFIX": compiled}
            subprocess.run([sys.executable, "-c", code], check=True, env=environment)
            times.append(time.perf_counter() - began)
    return min(times) * 1e3


def main() -> None:
    settings = Settings(database_url="sqlite://", open_calculations=True, calculations_per_minute=0)
    app = create_app(settings)
    with_constants(app)
    print(f"{'sum':14}{'constant µs':>13}{'sum µs':>9}{'ratio':>8}   goal <= 1.5")
    for name, asked in ASKED.items():
        body = json.dumps(asked).encode()
        paths = (f"/constant/{name}", f"/v1/calculations/{name}")
        rounds = [[cpu_us(app, path, body) for path in paths] for _ in range(ROUNDS + 1)][1:]
        floor, sums = (statistics.median(column) for column in zip(*rounds, strict=True))
        print(f"{name:14}{floor:13.0f}{sums:9.0f}{sums / floor:8.2f}")
    spent = imported_ms("import pint\n" + IMPORT) - imported_ms("import pint")
    print(f"import of the science beyond pint's: {spent:.0f} ms, goal < 60")


if __name__ == "__main__":
    main()
