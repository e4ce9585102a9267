"""Calls that touch every mutating operation of the desks and of materials, in an order that works.

Where numbered example calls stand in the repository, those of later parts follow.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import httpx

from service.examples import load
from tests.client import Client


@dataclass(frozen=True)
class Call:
    """One call that is answered with success."""

    operation: str
    method: str
    path: str
    body: Any = None
    file: Mapping[str, Any] = field(default_factory=dict)  # content and headers, where one is sent

    def send(self, client: Client, query: str = "", **headers: str) -> httpx.Response:
        if self.method in {"PATCH", "DELETE"}:
            headers["If-Match"] = "*"
        more = {} if self.body is None else {"json": self.body}
        more |= {name: value for name, value in self.file.items() if name != "headers"}
        headers |= self.file.get("headers", {})
        beside = query.replace("?", "&", 1) if "?" in self.path else query
        return client.request(self.method, self.path + beside, headers=headers, **more)


_DENSITY = {"value": "0.930 kg/l", "basis": "handbook", "source": "an invented table"}
DESKS = (
    Call("create_person", "POST", "/v1/people", {"code": "MARA", "name": "Mara Tidewater"}),
    Call("change_person", "PATCH", "/v1/people/MARA", {"name": "Mara Reedbank", "role": "cook"}),
    Call("create_person", "POST", "/v1/people", {"code": "GUEST", "name": "Ilse Marsh"}),
    Call("change_person", "PATCH", "/v1/people/GUEST", {"name": None}),
    Call("delete_person", "DELETE", "/v1/people/GUEST"),
    Call("change_workshop", "PATCH", "/v1/workshop", {"zone": "Europe/London", "currency": "EUR"}),
    Call(
        "create_equipment",
        "POST",
        "/v1/equipment",
        {"code": "KETTLE-5", "kind": "kettle", "holds": "5 l"},
    ),
    Call("change_equipment", "PATCH", "/v1/equipment/KETTLE-5", {"name": "the small kettle"}),
    Call("delete_equipment", "DELETE", "/v1/equipment/KETTLE-5"),
    Call(
        "create_key",
        "POST",
        "/v1/keys",
        {"name": "balance", "scopes": ["record"], "person": "MARA"},
    ),
    Call(
        "create_material",
        "POST",
        "/v1/materials",
        {"code": "OIL-LIN", "kind": "ingredient", "figures": {"density": _DENSITY}},
    ),
    Call("change_material", "PATCH", "/v1/materials/OIL-LIN", {"name": "linseed oil"}),
    Call(
        "record_material_figure",
        "POST",
        "/v1/materials/OIL-LIN/figures",
        {"property": "acid_value", "value": "1.2 mg KOH/g", "basis": "measured", "method": "own"},
    ),
    Call("create_material", "POST", "/v1/materials", {"code": "JAR-250", "kind": "container"}),
    Call("delete_material", "DELETE", "/v1/materials/JAR-250"),
)
VOIDED = {"void": True, "reason": "mistyped"}


Send = Callable[[Call], httpx.Response]


def desks(client: Client, send: Send) -> None:
    """Have the calls of the desks and of materials sent."""
    for call in DESKS:
        send(call)
    figure = client.read("/v1/figures")["data"][0]["figure"]
    send(Call("correct_figure", "POST", f"/v1/figures/{figure}/corrections", VOIDED))
    key = client.read("/v1/keys?sort=-created_at")["data"][0]["key_id"]
    send(Call("revoke_key", "POST", f"/v1/keys/{key}/revocations"))


def examples(client: Client, send: Send) -> None:
    """Have the numbered example calls sent, on a database of their own; reads are only made."""
    kept: dict[str, str] = {}
    for example in load():
        path = example.path_with(kept)
        file = {**example.sending(), "headers": dict(example.headers)} if example.content else {}
        call = Call(example.operation, example.method, path, example.request, file)
        writes = example.method != "GET" and example.status < 400 and "dry_run" not in path
        answer = send(call) if writes else call.send(client)
        if example.keep:
            kept.update(example.kept_from(answer.json()))
