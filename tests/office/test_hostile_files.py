"""Files that are not what they say, or far too much: refused, nothing written, nobody waits."""

import asyncio
import io
import struct
import time
import zipfile
import zlib
from collections.abc import AsyncIterator
from typing import Any

import httpx
import pytest

from service.office.attachments.rules import MOST_BYTES
from service.store.session import Store
from tests.client import Client, dump
from tests.makers.pictures import CERTIFICATE, kept, name, notes, picture, put, written

JPEG = written(picture(200, 200), exif=notes())
PNG = written(picture(200, 200), "PNG")
WEBP = written(picture(200, 200), "WEBP")
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


def chunk(kind: bytes, data: bytes) -> bytes:
    """A part of a PNG file: its length, kind, data and check (RFC 2083, section 3.2)."""
    body = kind + data
    return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))


def claiming(width: int, height: int) -> bytes:
    """A PNG of a few bytes that claims to be so large."""
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    pixels = chunk(b"IDAT", zlib.compress(b"\0" * 1000))
    return b"\x89PNG\r\n\x1a\n" + header + pixels + chunk(b"IEND", b"")


def zipped() -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        archive.writestr("photo.jpg", JPEG)
    return held.getvalue()


BROKEN = {
    "empty": (b"", "image/jpeg"),
    "empty certificate": (b"", "application/pdf"),
    "truncated JPEG": (JPEG[:-400], "image/jpeg"),
    "JPEG header alone": (JPEG[:30], "image/jpeg"),
    "truncated PNG": (PNG[: len(PNG) // 2], "image/png"),
    "truncated WebP": (WEBP[: len(WEBP) // 2], "image/webp"),
    "pixels missing": (claiming(400, 400), "image/png"),
    "no size": (claiming(0, 0), "image/png"),
    "SVG as PNG": (SVG, "image/png"),
    "zip as JPEG": (zipped(), "image/jpeg"),
    "PNG as JPEG": (PNG, "image/jpeg"),
    "JPEG as certificate": (JPEG, "application/pdf"),
    "certificate as JPEG": (CERTIFICATE, "image/jpeg"),
    "page as certificate": (b"<html>%PDF-1.7</html>", "application/pdf"),
    "noise": (bytes(range(256)) * 40, "image/webp"),
}


def problem(answer: httpx.Response, status: int, slug: str) -> str:
    """The detail of an answer that must be this problem."""
    assert (answer.status_code, answer.json()["type"]) == (status, f"/problems/{slug}"), answer.text
    detail: str = answer.json()["detail"]
    return detail


@pytest.mark.parametrize("case", BROKEN)
def test_a_broken_file_is_refused(client: Client, store: Store, case: str) -> None:
    before = dump(store)
    problem(put(client, *BROKEN[case]), 422, "broken-file")
    assert dump(store) == before


# Pillow warns from the first limit on and refuses from twice as much.
@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
@pytest.mark.parametrize("size", [(10_000, 5_001), (60_000, 60_000), (2**31 - 1, 1)])
def test_a_picture_that_would_fill_the_memory_is_refused_by_its_header(
    client: Client, size: tuple[int, int]
) -> None:
    begun = time.monotonic()
    detail = problem(put(client, claiming(*size), "image/png"), 422, "too-many-pixels")
    assert "50,000,000" in detail
    assert time.monotonic() - begun < 2


def test_fifty_megapixels_are_taken(client: Client) -> None:
    body = written(picture(10_000, 5_000, mode="L"), "PNG")
    assert put(client, body, "image/png").status_code == 201


def test_another_file_than_the_address_names_is_refused_naming_both(
    client: Client, store: Store
) -> None:
    before = dump(store)
    path, headers = f"/v1/attachments/{name(PNG)}", {"Content-Type": "image/jpeg"}
    answer = client.request("PUT", path, content=JPEG, headers=headers)
    detail = problem(answer, 422, "digest-mismatch")
    assert name(PNG) in detail
    assert name(JPEG) in detail
    assert name(JPEG) in answer.json()["errors"][0]["hint"]
    assert dump(store) == before


@pytest.mark.parametrize("digest", ["0" * 63, "g" * 64, "0" * 65, "%20" * 64, "photo.jpg"])
def test_an_address_that_is_no_digest_is_told_the_right_one(client: Client, digest: str) -> None:
    path, headers = f"/v1/attachments/sha256:{digest}", {"Content-Type": "image/jpeg"}
    answer = client.request("PUT", path, content=JPEG, headers=headers)
    problem(answer, 422, "invalid")
    assert name(JPEG) in answer.json()["errors"][0]["hint"]
    assert client.get(path).status_code == 422


@pytest.mark.parametrize(
    "kind", ["", "image/gif", "image/svg+xml", "application/json", "multipart/form-data", "jpeg"]
)
def test_another_kind_of_file_is_refused_naming_those_that_are_taken(
    client: Client, kind: str
) -> None:
    answer = put(client, JPEG, kind)
    problem(answer, 415, "wrong-file-kind")
    assert answer.json()["takes"] == ["image/jpeg", "image/png", "image/webp", "application/pdf"]


def test_a_kind_may_have_parameters_and_large_letters(client: Client) -> None:
    assert put(client, JPEG, 'Image/JPEG; name="spar.jpg"').status_code == 201


def test_fifteen_megabytes_are_taken_and_a_byte_more_is_not(client: Client) -> None:
    whole = CERTIFICATE + b"%" * (MOST_BYTES - len(CERTIFICATE))
    assert put(client, whole, "application/pdf").status_code == 201
    detail = problem(put(client, whole + b"%", "application/pdf"), 413, "too-large")
    assert "15,000,000" in detail


def test_too_much_is_refused_with_and_without_its_length(client: Client) -> None:
    async def pieces() -> AsyncIterator[bytes]:
        for _ in range(MOST_BYTES // 500_000 + 1):
            yield b"%" * 500_000

    path, headers = f"/v1/attachments/{name(JPEG)}", {"Content-Type": "image/jpeg"}
    streamed = client.request("PUT", path, content=pieces(), headers=headers)
    problem(streamed, 413, "too-large")
    claimed = {**headers, "Content-Length": "9" * 500}
    problem(client.request("PUT", path, content=JPEG, headers=claimed), 413, "too-large")


def test_a_file_is_opened_before_a_turn_to_write_is_taken(app: Any, client: Client) -> None:
    headers = {"Authorization": f"Bearer {client.key}", "Content-Type": "image/jpeg"}

    async def while_another_writes() -> httpx.Response:
        transport = httpx.ASGITransport(app)
        async with (
            app.state.house.gate.passed(),
            httpx.AsyncClient(transport=transport, base_url="http://test") as sender,
        ):
            path = f"/v1/attachments/{name(SVG)}"
            return await sender.put(path, content=SVG, headers=headers)

    problem(asyncio.run(while_another_writes()), 422, "broken-file")


def test_other_addresses_still_take_no_more_than_they_did(client: Client) -> None:
    headers = {"Content-Type": "application/json"}
    large = client.request("POST", "/v1/people", content=b" " * 1_000_001, headers=headers)
    assert problem(large, 413, "too-large") == "The body may hold 1,000,000 bytes here."
    wrong = client.request(
        "POST", "/v1/people", content=JPEG, headers={"Content-Type": "image/jpeg"}
    )
    problem(wrong, 415, "wrong-media-type")


# The decoder warns of the first, and goes on; the second cannot be written again.
@pytest.mark.filterwarnings("ignore::UserWarning")
@pytest.mark.parametrize(
    ("flaw", "size"),
    [
        (b"II*\0\x08\0\0\0\xff\xff" + b"\xff" * 40, (60, 40)),
        (notes(6).tobytes()[6:].replace(b"\x01\x0f\0\x02", b"\x01\x09\0\x02"), (40, 60)),
    ],
)
def test_notes_that_are_broken_do_not_break_the_picture(
    client: Client, flaw: bytes, size: tuple[int, int]
) -> None:
    body = written(picture(), exif=b"Exif\0\0" + flaw)
    assert put(client, body).status_code == 201
    assert kept(client, body).size == size
