"""The disk is full while a backup is made or restored: a sentence, and nothing half-done."""

from __future__ import annotations

import errno
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import OperationalError

from catalogue.backup import restoring, shelf, snapshot
from catalogue.backup.carried import carried
from catalogue.backup.container import Writer
from catalogue.backup.rows import put_back
from catalogue.site.file_store import WholeFileStorage
from tests.catalogue.secret_world import SecretWorld
from tests.served import manage


def _full(*_: Any, **__: Any) -> Any:
    raise OSError(errno.ENOSPC, "No space left on device")


def _after(calls: int, real: Callable[..., Any], error: Exception) -> Callable[..., Any]:
    """As the real function, but so many calls later there is no room."""
    left = iter(range(calls))

    def call(*arguments: Any, **named: Any) -> Any:
        if next(left, None) is None:
            raise error
        return real(*arguments, **named)

    return call


NO_ROOM = OSError(errno.ENOSPC, "No space left on device")


def _files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.rglob("*") if path.is_file())


@pytest.mark.parametrize(
    ("what", "calls"), [("add", 0), ("add", 30), ("finish", 0), ("snapshot", 0)]
)
def test_while_it_is_made(
    world: SecretWorld,
    backups: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    what: str,
    calls: int,
) -> None:
    place = tmp_path / "disk"
    place.mkdir()
    if what == "snapshot":
        monkeypatch.setattr(snapshot, "_copied", _full)
        monkeypatch.setattr(snapshot, "_repeatable_read", _full)
    else:
        monkeypatch.setattr(Writer, what, _after(calls, getattr(Writer, what), NO_ROOM))
    with pytest.raises(CommandError, match="The disk is full, so no backup was made"):
        call_command("backup", str(place / "one.tar"))
    assert _files(place) == []
    assert _files(backups) == [shelf.LOCK]
    assert shelf.made_backups() == []


def test_at_the_end_when_it_is_flushed(
    world: SecretWorld, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalogue.site.whole_files.os.fsync", _full)
    with pytest.raises(CommandError, match="The disk is full"):
        call_command("backup", str(tmp_path / "one.tar"))
    assert not (tmp_path / "one.tar").exists()


@pytest.mark.parametrize("calls", [0, 3])
def test_while_files_are_put_back(
    backup: Path,
    emptied: Callable[[], None],
    settings: Any,
    monkeypatch: pytest.MonkeyPatch,
    calls: int,
) -> None:
    emptied()
    with monkeypatch.context() as patch:
        save = _after(calls, WholeFileStorage._save, NO_ROOM)
        patch.setattr(WholeFileStorage, "_save", lambda *given: save(*given))
        with pytest.raises(CommandError, match="The disk is full, so nothing was restored"):
            call_command("restore", str(backup))
    _nothing_is_there(settings)
    call_command("restore", str(backup))


def test_while_files_are_flushed(
    backup: Path, emptied: Callable[[], None], settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    emptied()
    with monkeypatch.context() as patch:
        patch.setattr("catalogue.site.whole_files.os.fsync", _full)
        with pytest.raises(CommandError, match="The disk is full, so nothing was restored"):
            call_command("restore", str(backup))
    _nothing_is_there(settings)


def test_while_rows_are_put_back(
    backup: Path, emptied: Callable[[], None], settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    emptied()
    full = OperationalError("database or disk is full")
    with monkeypatch.context() as patch:
        patch.setattr(restoring, "put_back", _after(12, put_back, full))
        with pytest.raises(CommandError, match="The disk is full, so nothing was restored"):
            call_command("restore", str(backup))
    _nothing_is_there(settings)
    call_command("restore", str(backup))


def test_sqlite_itself_has_no_room(backup: Path, tmp_path: Path) -> None:
    """Its file may not grow further while the tables and rows are made."""
    var = tmp_path / "small"
    var.mkdir()
    small = {"DJANGO_SETTINGS_MODULE": "tests.catalogue.backup.small_settings"}
    refused = manage(var, "restore", str(backup), **small)
    assert refused.returncode == 1
    assert "The disk is full, so nothing was restored. Make room" in refused.stderr
    assert not list((var / "media").rglob("*.webp"))
    assert manage(var, "restore", str(backup)).returncode == 0


def _nothing_is_there(settings: Any) -> None:
    assert [model for model in carried(apps) if model._base_manager.exists()] == []
    assert _files(Path(settings.MEDIA_ROOT)) == []
