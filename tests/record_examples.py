"""Records the answers of the numbered examples: `python -m tests.record_examples`.

The request half of each file is written by hand; its operation and answer are what the service says
when all files are played in order on a fresh database. A body may name a kept value in braces: the
recording puts the value itself there, since numbers follow from the days in the scenario.
"""

import json
import sys
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

from service import running
from service.app import create_app, create_store
from service.examples import Example, load, sums
from service.settings import Settings
from tests.client import Client

FOLDER = Path(__file__).parent.parent / "openapi_examples"
_CALL = ("operation", "title", "method", "path", "headers", "request", "content")
ORDER = (*_CALL, "status", "keep", "response")


def operation_of(app: Any, method: str, path: str) -> str:
    """The operation id of a call."""
    for route in app.router.routes:
        if method in (route.methods or ()) and route.path_regex.match(path.split("?")[0]):
            return str(route.name)
    raise LookupError(f"{method} {path} is no operation")


def answer_of(response: Any) -> Any:
    """A JSON answer as it is; of any other form nothing is recorded."""
    return response.json() if "json" in response.headers.get("content-type", "") else None


def record(example: Example, client: Client, kept: dict[str, str]) -> bool:
    """Play one call and write its file; whether it was answered as it should be."""
    file = FOLDER / ("calculations" if example.path.startswith("/v1/calculations") else "")
    file /= example.file
    written = json.loads(file.read_text("utf-8"))
    if example.request is not None:
        text = json.dumps(example.request, ensure_ascii=False)
        for name, value in kept.items():
            text = text.replace("{" + name + "}", value)
        written["request"] = json.loads(text)
    path = example.path_with(kept)
    more = replace(example, request=written.get("request")).sending()
    response = client.request(example.method, path, headers=dict(example.headers), **more)
    if response.status_code != example.status:
        print(f"{example.file}: {response.status_code}\n{response.text}", file=sys.stderr)
        return False
    answer = answer_of(response)
    kept.update(example.kept_from(answer))
    written["operation"] = operation_of(client.app, example.method, path)
    written.pop("response", None)
    if answer is not None:
        written["response"] = answer
    sorted_fields = {name: written[name] for name in ORDER if name in written}
    file.write_text(json.dumps(sorted_fields, ensure_ascii=False, indent=1) + "\n", "utf-8")
    return True


def _recorded() -> list[Example]:
    """Each file once: what is only another form of a file is not written."""
    return [*load(), *(call for call in sums() if "?" not in call.path)]


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(database_url=f"sqlite:///{folder}/examples.sqlite")
        running.make_fit(settings.database_url)
        key = running.create_key(settings, "examples", "all", None)
        app = create_app(settings, create_store(settings))
        client, kept = Client(app, key), {}
        return 0 if all(record(example, client, kept) for example in _recorded()) else 1


if __name__ == "__main__":
    sys.exit(main())
