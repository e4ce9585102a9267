"""Files of an invented workshop: photos as a camera writes them, and a certificate."""

import hashlib
from io import BytesIO
from typing import Any

import httpx
from PIL import Image

from tests.client import Client

GPS, MAKER, ORIENTATION = 0x8825, 0x010F, 0x0112
CERTIFICATE = b"%PDF-1.7\n% analysis of tung oil, invented\n%%EOF\n"


def picture(width: int = 60, height: int = 40, *, mode: str = "RGB") -> Image.Image:
    """Amber, with a dark square in its upper left corner, so that it can be seen to be turned."""
    image = Image.new("RGB", (width, height), (200, 130, 40))
    image.paste((20, 10, 0), (0, 0, width // 4, height // 4))
    return image.convert(mode)


def written(image: Image.Image, form: str = "JPEG", **more: Any) -> bytes:
    """A picture as a file."""
    held = BytesIO()
    image.save(held, form, **more)
    return held.getvalue()


def notes(orientation: int = 1) -> Image.Exif:
    """What a camera writes into a file: where it was, who made it, which way it was held."""
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = orientation, "Tidewater Camera"
    exif.get_ifd(GPS).update({1: "N", 2: (51.0, 29.0, 1.5), 3: "E", 4: (0.0, 7.0, 2.5)})
    return exif


def name(body: bytes) -> str:
    return "sha256:" + hashlib.sha256(body).hexdigest()


def put(
    client: Client, body: bytes, media_type: str = "image/jpeg", query: str = "", **headers: str
) -> httpx.Response:
    """Send a file under its own name."""
    path = f"/v1/attachments/{name(body)}{query}"
    sent = {"Content-Type": media_type, **headers}
    return client.request("PUT", path, content=body, headers=sent)


def kept(client: Client, body: bytes, part: str = "content") -> Image.Image:
    """The picture as it is given back."""
    answer = client.get(f"/v1/attachments/{name(body)}/{part}")
    assert answer.status_code == 200, answer.text
    return Image.open(BytesIO(answer.content))
