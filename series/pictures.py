"""The picture store: decoded within bounds, re-encoded without metadata, named by digest.

A picture is written before the row that names it is committed, and is never rewritten; the
same picture is stored once. Sizes are the longest side in pixels.
"""

from __future__ import annotations

import hashlib
import io
import warnings
from dataclasses import dataclass
from typing import IO

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils.translation import gettext as _
from PIL import Image, ImageOps, UnidentifiedImageError

FORMATS = ("JPEG", "PNG", "WEBP")
SIZES = {"small": 160, "medium": 480, "large": 1200}
FULL = "full"
PRINTED = "print"
PRINTED_PX = 300  # 25 mm at 300 dots an inch
CONTENT_TYPE = "image/webp"
_END_OF_JPEG = b"\xff\xd9"  # the marker EOI of ISO/IEC 10918-1


class PictureRefused(ValueError):
    """The upload is no picture we take; the message says what to do."""


@dataclass(frozen=True)
class Kept:
    """A stored picture: its digest (SHA-256 of the full stored file) and size in pixels."""

    digest: str
    width: int
    height: int


def keep_picture(file: IO[bytes]) -> Kept:
    """Store an uploaded JPEG, PNG or WebP picture in all sizes; raise PictureRefused if unfit.

    EXIF orientation is applied, then every kind of metadata is dropped.
    """
    return keep_image(_decoded(file))


def keep_image(image: Image.Image) -> Kept:
    """Store an image that is already decoded (RGB or RGBA)."""
    image = image if image.mode in {"RGB", "RGBA"} else image.convert("RGB")
    full = _encoded(image, quality=90)
    digest = hashlib.sha256(full).hexdigest()
    if not default_storage.exists(picture_name(digest, FULL)):
        for size, longest in SIZES.items():
            small = image.copy()
            small.thumbnail((longest, longest), Image.Resampling.LANCZOS)
            _write(picture_name(digest, size), _encoded(small, quality=84))
        _write(picture_name(digest, FULL), full)
    return Kept(digest, image.width, image.height)


def picture_name(digest: str, size: str) -> str:
    """The name in the storage of one size of a picture.

    "small", "medium", "large" and "full" are there from the beginning; "print" once it was printed.
    """
    if size == PRINTED:
        return f"pictures/{digest[:2]}/{digest}-{PRINTED}.jpg"
    if size != FULL and size not in SIZES:
        raise ValueError(f"no such size: {size}")
    return f"pictures/{digest[:2]}/{digest}-{size}.webp"


def picture_bytes(digest: str, size: str) -> bytes:
    """One size of a stored picture; raises FileNotFoundError when the store lacks it."""
    with default_storage.open(picture_name(digest, size), "rb") as file:
        data: bytes = file.read()
    return data


def printed_picture(digest: str) -> bytes:
    """A stored picture as paper wants it: a JPEG on white, its longest side PRINTED_PX.

    It is made when first asked for and kept beside the others. Raises FileNotFoundError when the
    store lacks the picture.
    """
    name = picture_name(digest, PRINTED)
    try:
        with default_storage.open(name, "rb") as file:
            kept: bytes = file.read()
        if kept.endswith(_END_OF_JPEG):  # else writing it was broken off
            return kept
        default_storage.delete(name)
    except OSError:
        pass
    data = _on_white(picture_bytes(digest, "medium"))
    try:
        _write(name, data)
        if not default_storage.exists(picture_name(digest, "medium")):
            default_storage.delete(name)  # the picture was deleted meanwhile
    except OSError:
        pass  # a full or read-only disk keeps nobody from printing
    return data


def _on_white(data: bytes) -> bytes:
    with Image.open(io.BytesIO(data)) as image:
        picture = image.convert("RGBA")
    ground = Image.new("RGB", picture.size, "#FFFFFF")
    ground.paste(picture, mask=picture.getchannel("A"))
    ground.thumbnail((PRINTED_PX, PRINTED_PX), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    ground.save(out, "JPEG", quality=82, optimize=True)
    return out.getvalue()


def _decoded(file: IO[bytes]) -> Image.Image:
    limit = settings.UPLOAD_LIMIT_BYTES
    data = file.read(limit + 1)
    if len(data) > limit:
        raise PictureRefused(
            _("The picture is larger than %(n)d MB. Save it smaller and add it again.")
            % {"n": limit // 1024 // 1024}
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            image = Image.open(io.BytesIO(data), formats=FORMATS)
            if image.width * image.height > settings.UPLOAD_LIMIT_PIXELS:
                raise PictureRefused(
                    _("The picture has more than %(n)d million pixels. Save it smaller.")
                    % {"n": settings.UPLOAD_LIMIT_PIXELS // 1_000_000}
                )
            image.load()
            turned = ImageOps.exif_transpose(image)
    except PictureRefused:
        raise
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Warning) as error:
        raise PictureRefused(
            _("This is no picture that can be read. Add a JPEG, PNG or WebP file.")
        ) from error
    except Image.DecompressionBombError as error:
        raise PictureRefused(_("The picture is too large to open safely.")) from error
    has_alpha = turned.mode in {"RGBA", "LA", "PA"} or "transparency" in turned.info
    return turned.convert("RGBA" if has_alpha else "RGB")


def _encoded(image: Image.Image, quality: int) -> bytes:
    clean = Image.new(image.mode, image.size)
    clean.paste(image)
    out = io.BytesIO()
    clean.save(out, "WEBP", quality=quality, method=2)
    return out.getvalue()


def _write(name: str, data: bytes) -> None:
    if not default_storage.exists(name):
        saved = default_storage.save(name, ContentFile(data))
        if saved != name:  # another process was quicker: its file is the same
            default_storage.delete(saved)
