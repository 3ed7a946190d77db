"""Files without a record, a disk without room: found, said, and nothing lost."""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.contrib.sessions.models import Session
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import TemporaryUploadedFile
from django.core.management import call_command
from django.db import OperationalError
from django.test import Client
from PIL import Image

from catalogue.models import Holding, Photo
from catalogue.settings import _make_secret
from catalogue.site import disk_space, stored_files
from catalogue.site.failures import no_room
from catalogue.site.served_at import noted
from catalogue.site.whole_files import flushed_together, write_whole
from series.picture.pictures import FULL, keep_image, picture_name

BACKEND = "django.contrib.auth.backends.ModelBackend"


def _aged(name: str, days: float) -> str:
    then = time.time() - days * 24 * 3600
    os.utime(default_storage.path(name), (then, then))
    return name


def _kept(colour: str) -> str:
    return keep_image(Image.new("RGB", (30, 30), colour)).digest


def test_old_files_that_no_record_names_are_removed(make_holding: Callable[..., Holding]) -> None:
    named, left = _kept("red"), _kept("blue")
    Photo.objects.create(holding=make_holding(), digest=named, width=30, height=30)
    half = default_storage.save("receipts/0123.unfinished", ContentFile(b"half"))
    for digest in (named, left):
        for name in stored_files.picture_files(digest):
            if default_storage.exists(name):
                _aged(name, 2)
    _aged(half, 2)
    assert stored_files.delete_unnamed_files() == 5
    assert default_storage.exists(picture_name(named, FULL))
    assert stored_files.unnamed_files() == []


def test_a_file_of_today_is_left_alone(db: None) -> None:
    digest = _kept("red")
    _aged(picture_name(digest, FULL), 0.9)
    assert stored_files.delete_unnamed_files() == 0


def test_the_daily_cleaning_removes_them(db: None, capsys: Any) -> None:
    digest = _kept("red")
    _aged(picture_name(digest, FULL), 2)
    call_command("empty_bin")
    assert "1 files that no record names are gone" in capsys.readouterr().out


def test_files_written_together_are_flushed_once_all_are_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    flushed: list[int] = []
    monkeypatch.setattr(
        "catalogue.site.whole_files.os.fsync", lambda file: flushed.append(os.fstat(file).st_ino)
    )
    with flushed_together():
        for name in "ab":
            write_whole(tmp_path / name, [name.encode()])
        assert flushed == []
    assert {(tmp_path / name).stat().st_ino for name in "ab"} <= set(flushed)
    write_whole(tmp_path / "c", [b"c"])
    assert (tmp_path / "c").stat().st_ino in flushed


# ---- a full disk ----
@pytest.mark.parametrize(
    "error",
    [
        OSError(errno.ENOSPC, "No space left on device"),
        OperationalError("database or disk is full"),
    ],
)
def test_a_full_disk_is_answered_in_words(
    client: Client, db: None, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def full(*_: Any, **__: Any) -> None:
        raise error

    monkeypatch.setattr("catalogue.site.health._database_answers", full)
    client.raise_request_exception = False
    answer = client.get("/health/")
    assert answer.status_code == 503
    assert "No room left" in answer.content.decode()


def test_what_was_done_before_the_session_found_no_room_is_not_denied(
    as_member: Client, make_holding: Callable[..., Holding], monkeypatch: pytest.MonkeyPatch
) -> None:
    holding = make_holding()

    def full(*_: Any, **__: Any) -> None:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(Session, "save", full)
    as_member.raise_request_exception = False
    answer = as_member.post(f"/holdings/{holding.pk}/bin/")
    assert not Holding.objects.filter(pk=holding.pk).exists()
    assert answer.status_code == 503
    page = answer.content.decode()
    assert "may have been saved all the same" in page
    assert "Nothing of this was saved" not in page


def test_another_failure_is_not_blamed_on_the_disk() -> None:
    assert not no_room(OSError(errno.EACCES, "Permission denied"))
    assert not no_room(OperationalError("no such table: x"))


def test_a_full_disk_behind_another_error_is_seen() -> None:
    full = OSError(errno.ENOSPC, "No space left on device")
    told = ValueError("the picture could not be kept")
    told.__cause__ = full
    assert no_room(told)


def test_a_photograph_on_a_full_disk_makes_no_record(
    as_member: Client, make_holding: Callable[..., Holding], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(fd: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    holding = make_holding()
    picture = Path(default_storage.path("one.png"))
    picture.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (30, 30), "red").save(picture)
    monkeypatch.setattr("catalogue.site.whole_files.os.fsync", full)
    as_member.raise_request_exception = False
    with picture.open("rb") as file:
        answer = as_member.post(f"/holdings/{holding.pk}/photos/", {"obverse": file})
    assert (answer.status_code, Photo.objects.count()) == (503, 0)
    assert [path for path in picture.parent.rglob("*") if path.is_file()] == [picture]


def test_who_keeps_the_site_is_told_before_the_disk_is_full(
    client: Client, administrator: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    client.force_login(administrator, backend=BACKEND)
    assert "MB are left" not in client.get("/").content.decode()
    monkeypatch.setattr(disk_space, "room_left", lambda: 42_000_000)
    assert "Only 42 MB are left" in client.get("/").content.decode()
    assert client.get("/health/").json()["room"] == "short"


def test_members_are_not_told_of_the_disk(
    as_member: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk_space, "room_left", lambda: 42_000_000)
    assert "MB are left" not in as_member.get("/").content.decode()


def test_uploads_that_a_killed_server_left_are_removed(
    db: None, settings: Any, tmp_path: Path
) -> None:
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "uploads"
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()
    with TemporaryUploadedFile("a.jpg", "image/jpeg", 3, None) as being_read:
        left = Path(settings.FILE_UPLOAD_TEMP_DIR) / "tmp0.upload.jpg"
        left.write_bytes(b"a photograph with the place where it was taken")
        then = time.time() - 2 * 3600
        os.utime(left, (then, then))
        call_command("empty_bin")
        assert [str(path) for path in settings.FILE_UPLOAD_TEMP_DIR.iterdir()] == [
            being_read.temporary_file_path()
        ]


# ---- starting on a full disk ----
def _full(*_: Any, **__: Any) -> Any:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_a_server_starts_on_a_full_disk(
    tmp_path: Path, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.VAR_DIR = tmp_path
    monkeypatch.setattr("catalogue.site.whole_files.os.fsync", _full)
    with noted("http://127.0.0.1:8000", 8000):
        assert list(tmp_path.iterdir()) == []


def test_no_half_secret_key_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("catalogue.settings.get_random_secret_key", _full)
    with pytest.raises(OSError, match="No space"):
        _make_secret(tmp_path / "secret-key")
    assert list(tmp_path.iterdir()) == []
