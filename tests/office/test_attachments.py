"""Photos and certificates: named by their content, sent in any order, nothing private kept."""

import hashlib
import json
from typing import Any

import pytest
from PIL import Image, ImageCms

from service.store.session import Store
from tests.client import SCOPES, Client, count, dump, key_for
from tests.makers import pictures
from tests.makers.pictures import CERTIFICATE, kept, name, notes, picture, put, written

PHOTO = written(picture(), exif=notes())
AT = f"/v1/attachments/{name(PHOTO)}"


def test_a_photo_is_sent_once_and_read_back(client: Client) -> None:
    answer = put(client, PHOTO)
    assert answer.status_code == 201, answer.text
    assert answer.headers["location"] == AT
    made = answer.json()
    assert made.pop("assumed") == {}
    assert made.pop("summary") == "Photo kept upright at 60 × 40 px, without the camera's notes."
    assert made == client.read(AT)
    assert made["name"] == f"sha256:{made['digest']}" == name(PHOTO)
    assert (made["kind"], made["media_type"], made["bytes"]) == ("photo", "image/jpeg", len(PHOTO))
    assert (made["width"], made["height"]) == (60, 40)
    content = client.get(made["links"]["content"]).content
    assert hashlib.sha256(content).hexdigest() == made["stored_sha256"] != made["digest"]
    assert made["links"] == {"content": f"{AT}/content", "thumbnail": f"{AT}/thumbnail"}


def test_the_same_again_is_answered_200_and_writes_nothing(client: Client, store: Store) -> None:
    first, before = put(client, PHOTO), dump(store)
    again = put(client, PHOTO)
    assert again.status_code == 200
    assert again.json()["summary"] == "The photo was here already; nothing was written."
    assert {**again.json(), "summary": ""} == {**first.json(), "summary": ""}
    assert dump(store) == before


def test_who_sent_it_is_whom_the_key_is_bound_to(app: Any, client: Client, store: Store) -> None:
    client.made("/v1/people", {"code": "MARA"})
    mara = Client(app, key_for(store, SCOPES, person="MARA"))
    made = put(mara, PHOTO).json()
    assert (made["by"], made["assumed"]) == ("MARA", {"by": "MARA"})


@pytest.mark.parametrize("scope", ["read", "record"])
def test_sending_needs_the_scope_write(app: Any, store: Store, scope: str) -> None:
    answer = put(Client(app, key_for(store, [scope])), PHOTO)
    assert (answer.status_code, answer.json()["needs"]) == (403, "write")


def test_where_who_and_when_of_the_camera_are_gone(client: Client) -> None:
    body = written(picture(), exif=notes(), comment=b"berth 7", dpi=(72, 72))
    assert b"Tidewater" in body
    assert b"berth" in body
    put(client, body)
    for part in ("content", "thumbnail"):
        back = client.get(f"/v1/attachments/{name(body)}/{part}").content
        assert not [word for word in (b"Tidewater", b"berth", b"Exif", b"http") if word in back]
        seen = kept(client, body, part)
        assert dict(seen.getexif()) == {}
        assert set(seen.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


# Which corner of the file is up and left when the picture stands upright; EXIF 2.32, 4.6.4 A.
@pytest.mark.parametrize(
    ("orientation", "corner", "size"),
    [
        (1, (0, 0), (60, 40)),
        (3, (-1, -1), (60, 40)),
        (6, (-1, 0), (40, 60)),
        (8, (0, -1), (40, 60)),
    ],
)
def test_a_photo_is_turned_upright(
    client: Client, orientation: int, corner: tuple[int, int], size: tuple[int, int]
) -> None:
    body = written(picture(), exif=notes(orientation), quality=95)
    made = put(client, body).json()
    seen = kept(client, body)
    assert seen.size == (made["width"], made["height"]) == size
    place = tuple(3 if step == 0 else length - 4 for step, length in zip(corner, size, strict=True))
    dark = seen.getpixel(place)
    assert isinstance(dark, tuple)
    assert max(dark) < 60


@pytest.mark.parametrize(
    ("sent", "whole", "small"),
    [
        ((4000, 1000), (2000, 500), (400, 100)),
        ((900, 2400), (750, 2000), (150, 400)),
        ((2000, 2000), (2000, 2000), (400, 400)),
        ((300, 200), (300, 200), (300, 200)),
        ((1, 1), (1, 1), (1, 1)),
    ],
)
def test_a_photo_is_kept_no_larger_than_it_is_needed(
    client: Client, sent: tuple[int, int], whole: tuple[int, int], small: tuple[int, int]
) -> None:
    body = written(picture(*sent), "PNG")
    assert put(client, body, "image/png").status_code == 201
    assert kept(client, body).size == whole
    assert kept(client, body, "thumbnail").size == small


@pytest.mark.parametrize(
    ("form", "mode", "media_type"),
    [
        ("JPEG", "L", "image/jpeg"),
        ("JPEG", "CMYK", "image/jpeg"),
        ("PNG", "P", "image/png"),
        ("PNG", "1", "image/png"),
        ("PNG", "LA", "image/png"),
        ("PNG", "RGBA", "image/png"),
        ("WEBP", "RGB", "image/webp"),
        ("WEBP", "RGBA", "image/webp"),
    ],
)
def test_every_kind_of_photo_is_kept_as_jpeg(
    client: Client, form: str, mode: str, media_type: str
) -> None:
    body = written(picture(mode=mode), form)
    made = put(client, body, media_type)
    assert made.status_code == 201, made.text
    assert made.json()["media_type"] == media_type
    seen = kept(client, body)
    assert (seen.format, seen.mode, seen.size) == ("JPEG", "RGB", (60, 40))


def test_what_is_transparent_is_white_and_sixteen_bits_are_eight(client: Client) -> None:
    clear = written(Image.new("RGBA", (8, 8), (0, 0, 0, 0)), "PNG")
    grey = written(Image.new("I;16", (8, 8), 128 * 256), "PNG")
    for body, wanted in ((clear, 255), (grey, 128)):
        assert put(client, body, "image/png").status_code == 201
        seen = kept(client, body).getpixel((4, 4))
        assert isinstance(seen, tuple)
        assert all(abs(level - wanted) <= 1 for level in seen)


def test_colours_are_kept_though_their_profile_is_not(client: Client) -> None:
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    for profile in (srgb, lab, b"no profile at all"):
        body = written(picture(), "PNG", icc_profile=profile)
        assert put(client, body, "image/png").status_code == 201
        seen = kept(client, body)
        assert "icc_profile" not in seen.info
        amber = seen.getpixel((40, 30))
        assert isinstance(amber, tuple)
        wanted = zip(amber, (200, 130, 40), strict=True)
        assert all(abs(level - sent) <= 4 for level, sent in wanted)


def test_a_certificate_is_kept_as_it_is(client: Client) -> None:
    made = put(client, CERTIFICATE, "application/pdf").json()
    assert (made["kind"], made["width"], made["height"]) == ("certificate", None, None)
    assert made["stored_sha256"] == made["digest"]
    assert made["links"]["thumbnail"] is None
    answer = client.get(made["links"]["content"])
    assert answer.content == CERTIFICATE
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"].startswith("attachment;")
    missing = client.get(f"/v1/attachments/{made['name']}/thumbnail")
    assert (missing.status_code, missing.json()["type"]) == (404, "/problems/no-thumbnail")


def test_what_is_given_is_kept_for_ever_by_those_who_have_a_key(
    client: Client, public: Client
) -> None:
    made = put(client, PHOTO).json()
    for part, tag in (("content", ""), ("thumbnail", ".thumbnail")):
        answer = client.get(f"{AT}/{part}")
        assert answer.headers["content-type"] == "image/jpeg"
        assert answer.headers["etag"] == f'"{made["digest"]}{tag}"'
        assert answer.headers["cache-control"] == "private, max-age=31536000, immutable"
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["content-disposition"].startswith("inline;")
        same = {"If-None-Match": answer.headers["etag"]}
        assert client.get(f"{AT}/{part}", headers=same).status_code == 304
        assert public.get(f"{AT}/{part}").status_code == 401


def test_what_was_not_sent_is_unknown(client: Client) -> None:
    for part in ("", "/content", "/thumbnail"):
        answer = client.get(AT + part)
        assert (answer.status_code, answer.json()["type"]) == (404, "/problems/attachment-unknown")


def test_digits_written_large_name_the_same_file(client: Client) -> None:
    digest = name(PHOTO).removeprefix("sha256:").upper()
    path, headers = f"/v1/attachments/sha256:{digest}", {"Content-Type": "image/jpeg"}
    assert client.request("PUT", path, content=PHOTO, headers=headers).status_code == 201
    assert client.read(path) == client.read(AT)


def test_they_are_listed_by_page_and_kind(client: Client) -> None:
    bodies = [written(picture(width, 10)) for width in (10, 20, 30)]
    for body in bodies:
        put(client, body)
    put(client, CERTIFICATE, "application/pdf")
    seen, path = [], "/v1/attachments?kind=photo&limit=2"
    while path:
        answer = client.read(path)
        seen += [row["width"] for row in answer["data"]]
        path = (answer["next"] or "").removeprefix("http://test")
    assert seen == [30, 20, 10]
    (certificate,) = client.read("/v1/attachments?kind=certificate")["data"]
    assert certificate["name"] == name(CERTIFICATE)


def test_two_files_of_one_picture_share_what_is_kept(client: Client, store: Store) -> None:
    plain, noted = written(picture()), written(picture(), exif=notes())
    made = [put(client, body).json() for body in (plain, noted)]
    assert made[0]["name"] != made[1]["name"]
    assert made[0]["stored_sha256"] == made[1]["stored_sha256"]
    assert count(store, "attachments") == 2
    # A picture below the size of a thumbnail is its own.
    assert count(store, "blobs") == 1


def test_the_trail_has_digest_and_size_and_no_picture(client: Client) -> None:
    made = put(client, CERTIFICATE, "application/pdf").json()
    entries = {row["kind"]: row for row in client.read("/v1/audit-entries?limit=2")["data"]}
    assert entries["attachments"]["operation"] == "put_attachment"
    assert entries["attachments"]["after"]["digest"] == made["digest"]
    assert entries["attachments"]["after"]["size"] == len(CERTIFICATE)
    assert entries["blobs"]["after"] == {
        "sha256": made["digest"],
        "size": len(CERTIFICATE),
        "body": name(CERTIFICATE),
    }
    assert "tung oil" not in json.dumps(list(entries.values()))


def test_a_dry_run_answers_alike_and_writes_nothing(client: Client, store: Store) -> None:
    before = dump(store)
    tried = put(client, PHOTO, query="?dry_run=true")
    assert (tried.status_code, tried.json().pop("dry_run")) == (200, True)
    assert dump(store) == before
    done = put(client, PHOTO)
    assert set(tried.json()) == {*done.json(), "dry_run"}


def test_under_a_key_of_its_own_the_first_answer_is_told_again(client: Client) -> None:
    headers = {"Idempotency-Key": "river-photo-0001"}
    first, again = put(client, PHOTO, **headers), put(client, PHOTO, **headers)
    assert (first.status_code, again.status_code) == (201, 201)
    assert again.content == first.content
    assert again.headers["idempotency-replayed"] == "true"


def test_the_document_says_what_is_taken_and_how_much(client: Client) -> None:
    drawn = client.app.openapi()["paths"]["/v1/attachments/sha256:{digest}"]["put"]
    kinds = ["image/jpeg", "image/png", "image/webp", "application/pdf"]
    assert list(drawn["requestBody"]["content"]) == kinds
    assert "15 MB" in drawn["description"]
    assert "50 megapixels" in drawn["description"]
    refused = drawn["responses"]["413"]["$ref"].rsplit("/", 1)[1]
    shared = client.app.openapi()["components"]["responses"][refused]
    assert shared["description"].endswith("at most 15 MB")


def test_pictures_are_made_by_the_makers_as_they_say() -> None:
    exif = Image.open(pictures.BytesIO(PHOTO)).getexif()
    assert exif.get_ifd(pictures.GPS)[1] == "N"
    assert exif[pictures.MAKER] == "Tidewater Camera"
