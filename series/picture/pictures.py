"""The picture store: decoded apart within limits, re-encoded without metadata, named by digest.

An upload is decoded by a process of its own (``series/picture/decoding.py``), so that a hostile
file can cost neither the server's memory nor its life; all processes of the site take turns at it
(``series/picture/turns.py``). A picture is written before the row that names it is committed; a
stored size that is not what it should be is replaced when the picture comes again.
"""

from __future__ import annotations

import hashlib
import io
import json
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, TypeVar

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils.translation import gettext as _
from PIL import Image

from series.apart import Limits, run_apart
from series.picture import decoding
from series.picture.turns import NoTurn, turn

SIZES = {"small": 160, "medium": 480, "large": 1200}
FULL = "full"
PRINTED = "print"
PRINTED_PX = 300  # 25 mm at 300 dots an inch
CONTENT_TYPE = "image/webp"
_ALL_SIZES = {**SIZES, FULL: decoding.LONGEST}
_PLAIN_CHUNKS = {b"VP8 ", b"VP8L", b"VP8X", b"ALPH"}
_END_OF_JPEG = b"\xff\xd9"  # the marker EOI of ISO/IEC 10918-1
_PATIENCE = 3 * decoding.SECONDS  # s, for others before it and for itself
AT_ONCE = 1  # pictures decoded on this machine, each in up to decoding.MEMORY
IN_LINE = 6  # decoded or waiting; a server of one process has two threads more
_TRIES = 60
Made = TypeVar("Made")


class PictureRefused(ValueError):
    """The upload is no picture we take; the message says what to do."""


@dataclass(frozen=True)
class Kept:
    """A stored picture: its digest (SHA-256 of the full stored file) and size in pixels."""

    digest: str
    width: int
    height: int


@dataclass(frozen=True)
class Prepared:
    """A picture fit to be kept: its size in pixels and its encoded sizes, not stored yet."""

    width: int
    height: int
    encoded: dict[str, bytes]

    @property
    def digest(self) -> str:
        return hashlib.sha256(self.encoded[FULL]).hexdigest()

    def keep(self) -> Kept:
        """Store all sizes, the full one last; OSError when the disk takes no more."""
        digest = self.digest
        for size in _ALL_SIZES:
            put_file(picture_name(digest, size), self.encoded[size])
        return Kept(digest, self.width, self.height)


def prepare_picture(file: IO[bytes]) -> Prepared:
    """Decode an uploaded JPEG, PNG or WebP picture; PictureRefused when it is unfit.

    EXIF orientation is applied, then every kind of metadata is dropped.
    """
    limit = settings.UPLOAD_LIMIT_BYTES
    data = file.read(limit + 1)
    if len(data) > limit:
        raise PictureRefused(
            _("The picture is larger than %(n)d MB. Save it smaller and add it again.")
            % {"n": limit // 1024 // 1024}
        )
    line = Path(settings.VAR_DIR) / "turns"
    try:
        with turn(line, at_once=AT_ONCE, in_line=IN_LINE, patience=_PATIENCE) as held:
            said, encoded = _decoded_apart(data, held)
    except NoTurn as refused:
        raise PictureRefused(
            _("Many pictures are being read just now. Add it again in a minute.")
        ) from refused
    if "refused" in said:
        raise PictureRefused(_in_words(said["refused"]))
    return Prepared(said["width"], said["height"], encoded)


def patiently(prepare: Callable[[], Made]) -> Made:
    """What ``prepare`` makes of a picture, tried again while others are before it: for tasks."""
    for _try in range(_TRIES):
        try:
            return prepare()
        except ValueError as refused:
            if not _is_turned_away(refused):
                raise
            time.sleep(1)
    return prepare()


def _is_turned_away(error: BaseException | None) -> bool:
    return error is not None and (isinstance(error, NoTurn) or _is_turned_away(error.__cause__))


def prepare_kept(data: bytes) -> Prepared:
    """A picture that a store of this kind gave out; PictureRefused when it is unfit.

    It is decoded as an upload is. A WebP file of nothing but a picture is kept as it is, so that
    it loses nothing by being encoded once more; any other is encoded anew.
    """
    prepared = prepare_picture(io.BytesIO(data))
    if not webp_chunks(data) <= _PLAIN_CHUNKS:
        return prepared
    return Prepared(prepared.width, prepared.height, {**prepared.encoded, FULL: data})


def webp_chunks(data: bytes) -> set[bytes]:
    """The names of the chunks of a WebP file (RFC 9649, 2.3); {b""} of what is none.

    >>> webp_chunks(b"RIFF\\x0e\\0\\0\\0WEBPVP8L\\2\\0\\0\\0ab"), webp_chunks(b"RIFF")
    ({b'VP8L'}, {b''})
    """
    if data[:4] != b"RIFF" or data[8:12] != b"WEBP" or len(data) != _long(data, 4) + 8:
        return {b""}
    names, at = set(), 12
    while at < len(data):
        names.add(data[at : at + 4])
        at += 8 + _long(data, at + 4) + _long(data, at + 4) % 2
    return names if at == len(data) else {b""}


def _long(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 4], "little")


def check_picture(data: bytes) -> None:
    """PictureRefused when these bytes are no whole picture of the kinds that are taken."""
    prepare_picture(io.BytesIO(data))


def keep_image(image: Image.Image) -> Kept:
    """Store an image that the program itself made."""
    said, encoded = decoding.encoded_sizes(image.copy(), _ALL_SIZES)
    return Prepared(said["width"], said["height"], encoded).keep()


def _decoded_apart(data: bytes, held: int | None) -> tuple[dict[str, Any], dict[str, bytes]]:
    """``held`` is the turn, which lasts until the decoding process has ended too."""
    asked = json.dumps({"sizes": _ALL_SIZES, "pixels": settings.UPLOAD_LIMIT_PIXELS})
    limits = Limits(decoding.MEMORY, decoding.SECONDS)
    script = Path(decoding.__file__)
    answer = run_apart(script, data, asked, limits, patience=_PATIENCE, held=held)
    if answer is None:
        return {"refused": "memory"}, {}
    line, _newline, rest = answer.partition(b"\n")
    said = json.loads(line)
    encoded, at = {}, 0
    for size, length in said.get("sizes", ()):
        encoded[size] = rest[at : at + length]
        at += length
    return said, encoded


def _in_words(refused: str) -> str:
    million = settings.UPLOAD_LIMIT_PIXELS // 1_000_000
    return {
        "pixels": _("The picture has more than %(n)d million pixels. Save it smaller.")
        % {"n": million},
        "side": _("The picture is more than %(n)d pixels long. Cut or save it smaller.")
        % {"n": decoding.LONGEST_READ},
        "moving": _("The picture moves. Save one view of it as a JPEG file and add that."),
        "memory": _("The picture takes too much to open. Save it smaller, as a JPEG file."),
    }.get(refused, _("This is no picture that can be read. Add a JPEG, PNG or WebP file."))


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
        if kept.endswith(_END_OF_JPEG):  # else it is replaced
            return kept
    except OSError:
        pass
    data = _on_white(picture_bytes(digest, "medium"))
    try:
        put_file(name, data)
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


def put_file(name: str, data: bytes) -> None:
    """Store a file under exactly this name; one that holds something else is replaced."""
    if default_storage.exists(name):
        with default_storage.open(name, "rb") as file:
            if file.read() == data:
                return
        default_storage.delete(name)
    saved = default_storage.save(name, ContentFile(data))
    if saved != name:  # another process was quicker: its file is the same
        default_storage.delete(saved)
