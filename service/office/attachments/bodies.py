"""Bodies of the attachments desk, and how other bodies name an attachment."""

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from service.office.attachments.rules import NAME_PATTERN, is_name, tidy
from service.web.fields import Out, Utc, Written, refusal


def check_name(value: Any) -> Any:
    """The name of an attachment, tidied; raises a payload error for a text that is none."""
    if not isinstance(value, str):
        return value
    if not is_name(name := tidy(value)):
        raise refusal(
            "bad-attachment-name",
            "This is no name of an attachment.",
            "Send sha256: and the 64 hexadecimal digits of the SHA-256 of the file.",
        )
    return name


# What other bodies name a photo by; it may be sent before them, after them or never.
AttachmentName = Annotated[
    str,
    Field(
        min_length=71,
        max_length=71,
        pattern=NAME_PATTERN,
        examples=["sha256:" + "0123456789abcdef" * 4],
    ),
    BeforeValidator(check_name),
]


class Attached(Out):
    """An attachment that a record names."""

    name: str
    here: bool = Field(description="Whether it was sent yet.")
    href: str = Field(description="Where it is read, and where it is sent with PUT.")


class AttachmentLinks(Out):
    content: str
    thumbnail: str | None = Field(description="Null of a certificate.")


class AttachmentOut(Out):
    name: str = Field(description="What bodies call it.")
    digest: str = Field(description="SHA-256 of the file as it was sent.")
    media_type: str = Field(description="Of the file as it was sent; a photo is kept as JPEG.")
    kind: str = Field(description="photo or certificate")
    bytes: int = Field(description="Of the file as it was sent.")
    width: int | None = Field(description="Pixels as kept, upright; null of a certificate.")
    height: int | None
    stored_sha256: str = Field(description="SHA-256 of what is kept: of a certificate its digest.")
    by: str | None
    entered_at: Utc
    links: AttachmentLinks


class AttachmentMade(AttachmentOut, Written):
    pass
