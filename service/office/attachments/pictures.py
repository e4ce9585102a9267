"""A photo as it is kept: upright, in sRGB, small enough, and without what the camera wrote into it.

Every picture is decoded and drawn anew. What else a file holds (place, time, owner, a second file
behind the first) is left behind with it.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

from service.office.attachments.rules import (
    LONG_EDGE,
    MOST_PIXELS,
    THUMBNAIL_EDGE,
    BrokenFile,
    TooManyPixels,
)

if TYPE_CHECKING:
    from PIL.Image import Image as Drawn

_QUALITY = 85
_WHITE = (255, 255, 255)
_SIXTEEN_BIT = 256  # levels of a sixteen-bit grey to one of an eight-bit


@dataclass(frozen=True, slots=True)
class Picture:
    """Two JPEG files, and the size of the larger one in pixels."""

    content: bytes
    thumbnail: bytes
    width: int
    height: int


def redrawn(media_type: str, body: bytes) -> Picture:
    """The picture in a file of image/jpeg, image/png or image/webp. Raises BrokenFile,
    TooManyPixels."""
    with _faults_of(media_type):
        whole = _drawn(media_type, body)
        small = whole.copy()
        small.thumbnail((THUMBNAIL_EDGE, THUMBNAIL_EDGE))
        return Picture(_jpeg(whole), _jpeg(small), whole.width, whole.height)


@contextmanager
def _faults_of(media_type: str) -> Iterator[None]:
    from PIL import Image  # slow to import, and only photos need it

    try:
        yield
    except (TooManyPixels, MemoryError):
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many("more") from None
    except Exception as error:  # a decoder raises whatever broken bytes lead it to
        kind = media_type.partition("/")[2].upper()
        raise BrokenFile(f"The file is not a whole {kind} picture.") from error


def _too_many(count: str) -> TooManyPixels:
    return TooManyPixels(f"A photo may have {MOST_PIXELS:,} pixels; this one has {count}.")


def _drawn(media_type: str, body: bytes) -> "Drawn":
    from PIL import Image

    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    # Only the declared format is tried: the others' decoders are never reached.
    formats = (media_type.partition("/")[2],)
    with Image.open(BytesIO(body), formats=formats) as image:
        if (count := image.width * image.height) > MOST_PIXELS:
            raise _too_many(f"{count:,}")
        image.thumbnail((LONG_EDGE, LONG_EDGE))
        image.load()
        seen = _in_srgb(_opaque(_upright(image)))
    clean = Image.new("RGB", seen.size)
    clean.paste(seen)
    return clean


def _upright(image: "Drawn") -> "Drawn":
    from PIL import ImageOps

    image.getexif()  # read now, so that what is turned is the picture and not the notes too:
    image.info.pop("exif", None)  # broken ones could not be written again
    return ImageOps.exif_transpose(image)


def _opaque(image: "Drawn") -> "Drawn":
    """Without transparency (on white), palette or more than eight bits a colour."""
    from PIL import Image

    if image.mode.startswith("I"):
        return image.point(lambda level: level / _SIXTEEN_BIT).convert("L")
    if image.has_transparency_data:
        seen = image.convert("RGBA")
        white = Image.new("RGB", image.size, _WHITE)
        white.paste(seen, mask=seen.getchannel("A"))
        white.info = image.info
        return white
    return image if image.mode in {"RGB", "L", "CMYK"} else image.convert("RGB")


def _in_srgb(image: "Drawn") -> "Drawn":
    """The same colours without the camera's own profile, which is left behind."""
    from PIL import ImageCms

    if profile := image.info.get("icc_profile"):
        try:
            own, common = ImageCms.ImageCmsProfile(BytesIO(profile)), ImageCms.createProfile("sRGB")
            return ImageCms.profileToProfile(image, own, common, outputMode="RGB") or image
        except Exception:  # a profile that is broken or of other colours: it is not heeded
            return image.convert("RGB")
    return image.convert("RGB")


def _jpeg(image: "Drawn") -> bytes:
    held = BytesIO()
    image.save(held, "JPEG", quality=_QUALITY, optimize=True)
    return held.getvalue()
