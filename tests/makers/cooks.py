"""Cooks of an invented kettle: what its logger would have read, and batches that were cooked so."""

from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

from tests.client import Client
from tests.makers.batches import ready

LOGGER = "/v1/equipment/KETTLE-2/cook-points"
START = datetime.fromisoformat("2026-11-25T13:05:00+00:00")
# Minutes since the start and °C: heated, held, cooled, thinned.
EVENING = ((0, 60), (35, 168), (75, 240), (120, 239), (185, 114), (190, 82), (200, 78))


def temperature(minutes: float, course: tuple[tuple[int, int], ...] = EVENING) -> float:
    """Where the course stands, with the small waver of a probe."""
    for (start, low), (end, high) in pairwise(course):
        if minutes <= end:
            share = (minutes - start) / (end - start)
            return round(low + (high - low) * share + (int(minutes * 2) % 3 - 1) * 0.2, 1)
    return float(course[-1][1])


def readings(
    count: int, *, every: float = 30, start: datetime = START, first: int = 1
) -> list[list[Any]]:
    """Rows of a stream: number, time, temperature."""
    rows = []
    for place in range(count):
        at = start + timedelta(seconds=every * place)
        rows.append([first + place, at.isoformat(), temperature(every * place / 60)])
    return rows


def logged(rows: list[list[Any]], device: str = "PI-KETTLE") -> dict[str, Any]:
    """The body of a stream."""
    return {"device": device, "columns": ["seq", "at", "temperature_c"], "rows": rows}


def csv_of(count: int, *, every: float = 30, start: datetime = START, **more: Any) -> bytes:
    """The file of a logger: a running number, the time as it shows it, a temperature."""
    lines = [more.get("heading", "No,Time,Temp")]
    for number, at, celsius in readings(count, every=every, start=start):
        shown = datetime.fromisoformat(at).strftime("%Y-%m-%d %H:%M:%S")
        lines.append(f"{number},{shown},{celsius}")
    return ("\r\n".join(lines) + "\r\n").encode()


FORM = {"at": "Time", "temperature": "Temp", "zone": "UTC"}


def send_file(client: Client, path: str, body: bytes, **form: Any) -> Any:
    """POST a logger's file; what is None of the form is left out."""
    query = {name: value for name, value in {**FORM, **form}.items() if value is not None}
    return client.request(
        "POST", path, content=body, params=query, headers={"Content-Type": "text/csv"}
    )


def running(client: Client) -> str:
    """A batch that has its kettle since an hour before the log begins; its code."""
    code, _ = ready(client)
    start = (START - timedelta(hours=1)).isoformat()
    client.made(f"/v1/batches/{code}/transitions", {"to": "running", "happened_at": start})
    return code
