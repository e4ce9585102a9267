"""A real browser: the page of a jar, and a shop's page that fetches the sheet across origins."""

import functools
import http.server
import re
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
def record(demo: Served) -> Iterator[str]:
    """The page of the record of the batch that was filled, as a browser with the key is sent it."""
    key = {"Authorization": f"Bearer {demo.key}"}
    ended = demo.get("/v1/batches?state=complete&recipe=SPAR", headers=key).json()["data"]
    page = demo.get(f"/v1/batches/{ended[0]['batch']}/record?form=html", headers=key)
    assert demo.lots[0] in page.text

    class Sent(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            for name in ("content-type", "content-security-policy"):
                self.send_header(name, page.headers[name])
            self.end_headers()
            self.wfile.write(page.content)

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Sent) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()


@pytest.mark.parametrize("size", ["500,844", "1280,900"])
def test_the_record_is_drawn(record: str, tmp_path: Path, size: str) -> None:
    picture = tmp_path / "page.png"
    chromium(tmp_path, f"--window-size={size}", f"--screenshot={picture}", record)
    assert int.from_bytes(picture.read_bytes()[16:20], "big") == int(size.split(",")[0])
    assert picture.stat().st_size > 20_000


def test_the_record_prints_with_every_item(record: str, tmp_path: Path) -> None:
    paper = tmp_path / "record.pdf"
    chromium(tmp_path, f"--print-to-pdf={paper}", "--no-pdf-header-footer", record)
    done = subprocess.run(["pdftotext", str(paper), "-"], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    printed = done.stdout.replace("\f", "\n")
    for item in range(14):
        heading = " *".join(f"A{item}")  # its letters are set apart
        assert len(re.findall(rf"^{heading}\b", printed, re.MULTILINE)) >= 2
    assert "POST /v1" not in done.stdout


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
