"""The story of the examples, from the empty workshop to the jar on sale, told with gaps."""

import json
import shutil
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from service import running
from service.app import create_app, create_store
from service.examples import Example, load
from service.settings import Settings
from service.store.session import Store
from tests.client import Client

Change = Callable[[dict[str, Any]], Any]
PLANNED, RELEASED = "0702", "1002"


@dataclass
class Story:
    """A database as far as it was told, and the numbers that came out on the way."""

    file: Path
    key: str
    client: Client
    store: Store
    kept: dict[str, str] = field(default_factory=dict)

    def read(self, path: str, **more: Any) -> Any:
        return self.client.read(path.format(**self.kept), **more)


def _opened(file: Path, key: str | None = None) -> Story:
    settings = Settings(database_url=f"sqlite:///{file}")
    text = key or running.create_key(settings, "story", "all", None)
    store = create_store(settings)
    return Story(file, text, Client(create_app(settings, store), text), store)


def begun(file: Path) -> Story:
    """Told as far as the plan of the varnish and its sheet."""
    running.make_fit(f"sqlite:///{file}")
    story = _opened(file)
    _tell(story, [call for call in load() if call.file[:4] <= PLANNED])
    return story


def told(
    story: Story,
    file: Path,
    *,
    without: Collection[str] = (),
    change: Mapping[str, Change] | None = None,
    until: str = RELEASED,
) -> Story:
    """The same story told on in a copy, without some calls or with others changed, until one.

    What opens a deviation is concluded before the release, unless that call is left out.
    """
    story.store.dispose()  # the last to close leaves all of it in the one file
    shutil.copyfile(story.file, file)
    copy = _opened(file, story.key)
    copy.kept |= story.kept
    calls = [call for call in load() if PLANNED < call.file[:4] <= until]
    before = [call for call in calls if call.file[:4] < "1001" and call.file[:4] not in without]
    _tell(copy, before, change or {})
    if "0709" not in without:
        _conclude_all(copy)
    _tell(copy, [call for call in calls if call.file[:4] >= "1001"], lenient="0709" in without)
    return copy


def _tell(
    story: Story,
    calls: Collection[Example],
    change: Mapping[str, Change] | None = None,
    *,
    lenient: bool = False,
) -> None:
    for call in calls:
        sent = call.sending()
        if "json" in sent:
            text = json.dumps(sent["json"])
            for name, value in story.kept.items():
                text = text.replace("{" + name + "}", value)
            sent = {"json": json.loads(text)}
        if change and call.file[:4] in change:
            change[call.file[:4]](sent["json"])
        path = call.path_with(story.kept)
        answer = story.client.request(call.method, path, headers=dict(call.headers), **sent)
        assert lenient or answer.status_code == call.status, (call.file, answer.text)
        if answer.status_code == call.status and call.keep:
            story.kept.update(call.kept_from(answer.json()))


def _conclude_all(story: Story) -> None:
    for one in story.client.read("/v1/deviations?open=true")["data"]:
        path = f"/v1/deviations/{one['deviation']}/conclusions"
        story.client.made(path, {"text": "Looked at and accepted.", "by": "MB"})
