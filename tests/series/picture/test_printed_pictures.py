"""The printed size of a picture: made once, kept, and deleted with the picture."""

from __future__ import annotations

import io
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from PIL import Image

from catalogue.site.stored_files import delete_unnamed, picture_files
from series.picture import pictures
from series.picture.pictures import PRINTED, keep_image, picture_name, printed_picture


@pytest.fixture
def digest() -> str:
    """A stored picture of a brown square, clear to its right."""
    image = Image.new("RGBA", (800, 400), (0, 0, 0, 0))
    image.paste((140, 90, 40, 255), (0, 0, 400, 400))
    return keep_image(image).digest


def test_it_is_a_small_jpeg_on_white(digest: str) -> None:
    with Image.open(io.BytesIO(printed_picture(digest))) as found:
        assert (found.format, found.mode, found.size) == ("JPEG", "RGB", (300, 150))
        brown: Any = found.getpixel((40, 75))
        assert max(abs(a - b) for a, b in zip(brown, (140, 90, 40), strict=True)) < 8
        white: Any = found.getpixel((260, 75))
        assert min(white) > 247


def test_it_is_made_once(digest: str, monkeypatch: pytest.MonkeyPatch) -> None:
    name = picture_name(digest, PRINTED)
    assert not default_storage.exists(name)
    first = printed_picture(digest)
    assert default_storage.exists(name)

    def made_again(data: bytes) -> bytes:
        raise AssertionError("made again")

    monkeypatch.setattr(pictures, "_on_white", made_again)
    assert printed_picture(digest) == first


def test_one_that_was_broken_off_is_made_anew(digest: str) -> None:
    whole = printed_picture(digest)
    name = picture_name(digest, PRINTED)
    default_storage.delete(name)
    default_storage.save(name, ContentFile(whole[:100]))
    assert printed_picture(digest) == whole
    with default_storage.open(name) as file:
        assert file.read() == whole


def test_a_picture_that_the_store_lacks_is_said_so(digest: str) -> None:
    with pytest.raises(FileNotFoundError):
        printed_picture("0" * 64)
    assert not default_storage.exists(picture_name("0" * 64, PRINTED))


def test_a_disk_that_takes_no_file_keeps_nobody_from_printing(
    digest: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: Any) -> None:
        raise OSError("No space left on device")

    monkeypatch.setattr(pictures, "put_file", full)
    assert printed_picture(digest).startswith(b"\xff\xd8")


def test_a_picture_deleted_while_it_is_drawn_leaves_nothing_behind(
    digest: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    true = pictures._on_white

    def deleted_meanwhile(data: bytes) -> bytes:
        for name in picture_files(digest):
            default_storage.delete(name)
        return true(data)

    monkeypatch.setattr(pictures, "_on_white", deleted_meanwhile)
    printed_picture(digest)
    assert not any(default_storage.exists(name) for name in picture_files(digest))


def test_two_that_write_at_once_leave_one_file(
    digest: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    printed_picture(digest)
    folder = picture_name(digest, PRINTED).rsplit("/", 1)[0]
    before = sorted(default_storage.listdir(folder)[1])
    storage: Any = type(default_storage._wrapped)  # type: ignore[attr-defined]
    true, asked = storage.exists, []

    def not_yet(self: Any, name: str) -> bool:
        asked.append(name)
        return len(asked) > 2 and true(self, name)  # written between the question and the deed

    monkeypatch.setattr(storage, "exists", not_yet)
    pictures.put_file(picture_name(digest, PRINTED), b"the same")
    monkeypatch.undo()
    assert sorted(default_storage.listdir(folder)[1]) == before


@pytest.mark.django_db
def test_it_goes_when_nothing_names_the_picture(digest: str) -> None:
    printed_picture(digest)
    assert delete_unnamed({(digest, True)}) == 5
    assert not default_storage.exists(picture_name(digest, PRINTED))
