"""The picture store: odd and hostile files are answered in words, and no half file is trusted."""

from __future__ import annotations

import errno
import io
import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from django.core.files.storage import default_storage
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from PIL import Image, ImageFile

from catalogue.site.file_store import WholeFileStorage
from series.picture.decoding import LONGEST, answer
from series.picture.pictures import (
    FULL,
    SIZES,
    PictureRefused,
    keep_image,
    picture_bytes,
    picture_name,
    prepare_picture,
)


def _file(image: Image.Image, fmt: str = "PNG", **options: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, fmt, **options)
    return out.getvalue()


def _noise(size: tuple[int, int] = (64, 48)) -> Image.Image:
    points = np.random.default_rng(1).integers(0, 256, (size[1], size[0], 3), dtype=np.uint8)
    return Image.fromarray(points)


def _png_header(width: int, height: int) -> bytes:
    """A PNG file that promises much and holds a thousand empty bytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(bytes(1000)))
        + chunk(b"IEND", b"")
    )


def _full(data: bytes) -> Image.Image:
    return Image.open(
        io.BytesIO(picture_bytes(prepare_picture(io.BytesIO(data)).keep().digest, FULL))
    )


# ---- odd files ----
def test_ink_of_four_colours_becomes_a_good_picture() -> None:
    shown = _full(_file(Image.new("CMYK", (20, 20), (0, 255, 255, 0)), "JPEG")).convert("RGB")
    red, green, blue = shown.getpixel((10, 10))  # type: ignore[misc]
    assert red > 200
    assert max(green, blue) < 60


def test_sixteen_bits_a_pixel_keep_their_greys() -> None:
    greys = Image.fromarray(np.full((20, 20), 0x8000, dtype=np.uint16))
    assert abs(_full(_file(greys)).convert("L").getpixel((10, 10)) - 0x80) < 4  # type: ignore[operator]


@pytest.mark.parametrize("mode", ["RGBA", "LA"])
def test_what_is_cut_out_of_a_picture_stays_open(mode: str) -> None:
    scan = Image.new("RGBA", (20, 20), (200, 160, 60, 255))
    scan.paste((0, 0, 0, 0), (0, 0, 10, 20))
    alpha = _full(_file(scan.convert(mode))).getchannel("A")
    assert (alpha.getpixel((2, 10)), alpha.getpixel((17, 10))) == (0, 255)


def test_a_very_long_picture_is_made_as_long_as_can_be_kept() -> None:
    assert _full(_file(Image.new("L", (17_000, 4)))).width == LONGEST


@pytest.mark.parametrize("fmt", ["WEBP", "PNG"])
def test_a_moving_picture_is_refused_in_words(fmt: str) -> None:
    frames = [Image.new("RGB", (9, 9), colour) for colour in ("red", "blue")]
    data = _file(frames[0], fmt, save_all=True, append_images=frames[1:])
    with pytest.raises(PictureRefused, match="moves"):
        prepare_picture(io.BytesIO(data))


@pytest.mark.parametrize(
    ("size", "words"), [((1, 59_999_999), "pixels long"), ((9000, 9000), "million pixels")]
)
def test_a_header_that_promises_too_much_is_refused(size: tuple[int, int], words: str) -> None:
    with pytest.raises(PictureRefused, match=words):
        prepare_picture(io.BytesIO(_png_header(*size)))


def test_a_cut_file_is_refused_whatever_a_library_told_the_decoder(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    data = _file(_noise(), "JPEG")
    with pytest.raises(PictureRefused, match="no picture"):
        prepare_picture(io.BytesIO(data[: len(data) // 2]))


@given(st.data())
@hypothesis_settings(max_examples=60)
def test_a_damaged_file_is_answered_and_never_raises(data: st.DataObject) -> None:
    whole = bytearray(_file(_noise((16, 12)), data.draw(st.sampled_from(["JPEG", "PNG", "WEBP"]))))
    for _ in range(data.draw(st.integers(1, 6))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    said, encoded = answer(bytes(whole), {"full": LONGEST}, pixels=100_000)
    assert ("refused" in said) != bool(encoded)


# ---- half files ----
class _FullDisk:
    """Writing stops after so many bytes, as on a disk that is full."""

    def __init__(self, data: bytes) -> None:
        self.data = data

    def chunks(self) -> Any:
        yield self.data[: len(self.data) // 2]
        raise OSError(errno.ENOSPC, "No space left on device")


def test_a_full_disk_leaves_no_half_file(tmp_path: Path) -> None:
    store = WholeFileStorage(tmp_path)
    with pytest.raises(OSError, match="No space"):
        store._save("pictures/one.webp", _FullDisk(b"x" * 100))  # type: ignore[arg-type]
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_what_is_stored_is_for_the_site_alone() -> None:
    kept = keep_image(_noise())
    path = Path(default_storage.path(picture_name(kept.digest, FULL)))
    assert (path.stat().st_mode & 0o777, path.parent.stat().st_mode & 0o777) == (0o600, 0o700)


@pytest.mark.parametrize("size", [*SIZES, FULL])
def test_a_picture_sent_again_mends_a_broken_file(size: str) -> None:
    kept = keep_image(_noise())
    path = Path(default_storage.path(picture_name(kept.digest, size)))
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    assert keep_image(_noise()) == kept
    assert path.read_bytes() == whole
