"""Pictures that come along with a list, and archives that were made to harm."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Any

import pytest

from catalogue.importing import tasks
from catalogue.importing.picture_files import check_zip, pictures_in
from catalogue.importing.publishing import publish
from catalogue.importing.reading.lists import ListError
from catalogue.importing.staging import stage
from catalogue.models import Holding, Member, Photo
from series.picture import pictures
from tests.conftest import Coinage

from .brought import bring_in, listed, picture, row, taken_in, zipped

pytestmark = pytest.mark.django_db


def test_pictures_go_to_the_row_they_are_named_after(member: Member, coinage: Coinage) -> None:
    archive = zipped(
        **{
            "in/K-1__png": picture("#111111"),
            "K-1-rev__png": picture("#222222"),
            "3__png": picture(),
        }
    )
    taken_in(member, listed(row(number="K-1"), row("1947")), pictures=archive)
    first, second = Holding.objects.order_by("pk")
    assert [photo.side for photo in first.photos.all()] == ["obverse", "reverse"]
    assert [photo.side for photo in second.photos.all()] == ["obverse"]


def test_a_column_names_the_picture(member: Member, coinage: Coinage) -> None:
    headings = ("Country", "Value", "Year", "Picture")
    data = listed(("Testland", "25 tinne", "1931", "owl.png"), headings=headings)
    brought = bring_in(member, data, pictures=zipped(owl__png=picture()))
    brought.mapping = {**brought.mapping, "fields": ["country", "denomination", "date", "picture"]}
    brought.save()
    tasks.read_rows(brought)
    tasks.take_in(brought)
    assert Photo.objects.get().holding == Holding.objects.get()


def test_what_is_no_picture_is_told_and_the_row_comes_in(member: Member, coinage: Coinage) -> None:
    archive = zipped(**{"K-1__png": b"no picture", "stranger__png": picture()})
    brought = taken_in(member, listed(row(number="K-1")), pictures=archive)
    assert Holding.objects.count() == 1
    assert not Photo.objects.exists()
    told = dict(brought.left_aside)
    assert "No row" in told["stranger.png"]
    assert "no picture" in told["K-1.png"]


def test_a_full_disk_leaves_no_piece(
    member: Member, coinage: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(name: str, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(pictures, "put_file", full)
    brought = taken_in(
        member, listed(row(number="K-1")), pictures=zipped(**{"K-1__png": picture()})
    )
    assert "disk of this site is full" in brought.message
    assert not Holding.everything.exists()


def test_pictures_of_a_folder(member: Member, coinage: Coinage, tmp_path: Path) -> None:
    (tmp_path / "more").mkdir()
    (tmp_path / "more" / "K-1.png").write_bytes(picture())
    (tmp_path / "outside.png").symlink_to("/etc/passwd")
    brought = bring_in(member, listed(row(number="K-1")))
    found = pictures_in(tmp_path)
    assert found.names == ("more/K-1.png",)
    stage(brought, found)
    publish(brought, found)
    assert Photo.objects.count() == 1


# ---- archives made to harm ----
def _archive(*names: str, data: bytes = b"x") -> io.BytesIO:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in names:
            archive.writestr(name, data)
    return out


@pytest.mark.parametrize(
    "name", ["../K-1.png", "/etc/K-1.png", "a/../../K-1.png", "..\\K-1.png", "C:\\K-1.png"]
)
def test_names_that_lead_out_are_refused(name: str) -> None:
    with pytest.raises(ListError, match="lead out"):
        check_zip(_archive(name))


def test_a_link_is_refused() -> None:
    entry = zipfile.ZipInfo("K-1.png")
    entry.external_attr = 0o120777 << 16
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(entry, "/etc/passwd")
    with pytest.raises(ListError, match="lead out"):
        check_zip(out)


def test_an_archive_in_an_archive_is_not_opened() -> None:
    with pytest.raises(ListError, match="no picture"):
        check_zip(_archive("inner.zip", data=_archive("K-1.png").getvalue()))


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04 cut off", b"no archive at all"])
def test_what_is_no_archive_is_refused(data: bytes) -> None:
    with pytest.raises(ListError, match="no zip"):
        check_zip(io.BytesIO(data))


def test_too_many_files_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("catalogue.importing.picture_files.MOST_FILES", 3)
    with pytest.raises(ListError, match="more than 3 files"):
        check_zip(_archive(*(f"{n}.png" for n in range(4))))


def test_a_bomb_is_read_up_to_the_limit_and_told(
    member: Member, coinage: Coinage, settings: Any
) -> None:
    settings.UPLOAD_LIMIT_BYTES = 1024 * 1024
    bomb = _archive("K-1.png", data=bytes(50 * 1024 * 1024)).getvalue()
    assert len(bomb) < 100_000
    brought = taken_in(member, listed(row(number="K-1")), pictures=bomb)
    assert "larger than 1 MB" in dict(brought.left_aside)["K-1.png"]
    assert Holding.objects.count() == 1


def test_a_damaged_entry_is_told(member: Member, coinage: Coinage) -> None:
    whole = bytearray(zipped(**{"K-1__png": picture()}))
    at = whole.index(b"K-1.png") + len("K-1.png") + 12
    whole[at : at + 8] = b"\xff" * 8
    brought = taken_in(member, listed(row(number="K-1")), pictures=bytes(whole))
    assert "damaged" in dict(brought.left_aside)["K-1.png"]
