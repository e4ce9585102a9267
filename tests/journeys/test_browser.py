"""A real browser: the page of a jar, and a shop's page that fetches the sheet across origins."""

import functools
import http.server
import shutil
import subprocess
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journeys.conftest import ROOT, Served

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--hide-scrollbars",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="Chromium is needed")


def chromium(folder: Path, *words: str) -> str:
    profile = f"--user-data-dir={folder / 'profile'}"
    command = [str(CHROMIUM), *FLAGS, profile, *words]
    done = subprocess.run(command, capture_output=True, text=True, timeout=90)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize("size", ["390,844", "1280,900"])
def test_the_page_of_a_jar_is_drawn(demo: Served, tmp_path: Path, size: str) -> None:
    picture = tmp_path / "page.png"
    words = (f"--window-size={size}", f"--screenshot={picture}", f"{demo.url}/l/{demo.lots[0]}")
    chromium(tmp_path, *words)
    drawn = picture.read_bytes()
    assert drawn[:8] == b"\x89PNG\r\n\x1a\n"
    assert int.from_bytes(drawn[16:20], "big") == int(size.split(",")[0])
    assert len(drawn) > 20_000  # a page of text, not an empty one


def test_the_page_obeys_its_own_policy(demo: Served, tmp_path: Path) -> None:
    log = ("--enable-logging=stderr", "--v=0", "--dump-dom", f"{demo.url}/l/{demo.lots[0]}")
    command = [str(CHROMIUM), *FLAGS, f"--user-data-dir={tmp_path / 'p'}", *log]
    done = subprocess.run(command, capture_output=True, text=True, timeout=90)
    assert demo.lots[0] in done.stdout
    assert "Content Security Policy" not in done.stderr


@pytest.fixture
def shop() -> Iterator[str]:
    """The shop's page on an origin of its own."""
    folder = str(ROOT / "openapi_examples")
    handler = functools.partial(http.server.SimpleHTTPRequestHandler, directory=folder)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/fetch_sheet.html"
        server.shutdown()


def test_a_shop_on_another_origin_shows_the_sheet(demo: Served, shop: str, tmp_path: Path) -> None:
    address = f"{shop}?service={demo.url}"
    page = chromium(tmp_path, "--virtual-time-budget=8000", "--dump-dom", address)
    assert 'data-done="yes"' in page
    assert "Water, one drop covered for 16 h" in page
    assert "Not tried on this lot" in page
