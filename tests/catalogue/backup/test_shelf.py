"""The folder of backups: what is on its list, what is kept, what the administrator is told."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from catalogue.backup import regular, restoring, shelf
from catalogue.backup.making import NotMade, make_backup, make_in_folder
from catalogue.backup.shelf import BEFORE_UPGRADE, SCHEDULED, Made
from catalogue.models import Member
from catalogue.site import disk_space
from tests.catalogue.secret_world import SecretWorld

BACKEND = "django.contrib.auth.backends.ModelBackend"
DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def folder(backups: Path) -> Path:
    return backups


def _made(days: float, name: str = "one.tar", why: str = shelf.BY_HAND) -> Made:
    path = shelf.folder() / name
    path.write_bytes(b"a backup")
    made = Made(f"{name:0>32}", timezone.now() - days * DAY, str(path), 8, why)
    shelf.note_made(made)
    return made


def _old_member(**more: Any) -> Member:
    joined = timezone.now() - 30 * DAY
    return Member.objects.create_user("adam", joined_at=joined, role="administrator", **more)


def test_what_was_made_is_on_the_list(world: SecretWorld, tmp_path: Path) -> None:
    made = make_backup(tmp_path / "one.tar").made
    assert shelf.made_backups() == [made]
    assert (made.size, made.is_good) == ((tmp_path / "one.tar").stat().st_size, True)
    again = make_backup(tmp_path / "one.tar").made
    assert shelf.made_backups() == [again]


def test_it_is_on_the_list_before_it_has_its_name(
    world: SecretWorld, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A process that is killed between the two leaves none that nobody is told of."""
    path, listed, replace = tmp_path / "one.tar", [], Path.replace

    def named(beside: Path, target: Path) -> Path:
        if target == path:
            listed.extend(made.path for made in shelf.made_backups())
        return replace(beside, target)

    monkeypatch.setattr(Path, "replace", named)
    make_backup(path)
    assert listed == [str(path)]


def test_one_that_gets_no_name_is_taken_off_the_list(
    world: SecretWorld, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = _made(1, "kept.tar")
    path, replace = tmp_path / "one.tar", Path.replace

    def refused(beside: Path, target: Path) -> Path:
        if target == path:
            raise OSError("gone")
        return replace(beside, target)

    monkeypatch.setattr(Path, "replace", refused)
    with pytest.raises(OSError, match="gone"):
        make_backup(path)
    assert shelf.made_backups() == [kept]


def test_a_backup_is_on_the_list_before_it_is_put_back(
    backup: Path, emptied: Callable[[], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    emptied()
    (shelf.folder() / shelf.LIST).unlink()
    listed, real = [], restoring._put_records

    def put(*given: Any) -> None:
        listed.extend(made.path for made in shelf.made_backups())
        real(*given)

    monkeypatch.setattr(restoring, "_put_records", put)
    restoring.restore(backup)
    assert listed == [str(backup)]


def test_a_line_that_cannot_be_read_is_passed_over(db: None) -> None:
    made = _made(1)
    path = shelf.folder() / shelf.LIST
    path.write_text("{}\nnonsense\n" + path.read_text())
    assert shelf.made_backups() == [made]


# ---- old ----
def test_a_new_site_needs_no_backup_yet(db: None) -> None:
    Member.objects.create_user("adam")
    assert not shelf.is_old()


def test_a_site_of_more_than_a_week_needs_one(db: None) -> None:
    _old_member()
    assert shelf.is_old()
    _made(6.9)
    assert not shelf.is_old()


def test_one_that_is_older_than_a_week_or_damaged_does_not_count(db: None) -> None:
    _old_member()
    made = _made(7.1)
    assert shelf.is_old()
    cut = _made(1, "cut.tar")
    Path(cut.path).write_bytes(b"a bac")
    assert shelf.newest_good() == made
    assert shelf.is_old()


def test_one_on_a_disk_that_is_not_connected_counts(db: None, tmp_path: Path) -> None:
    _old_member()
    shelf.note_made(Made("1" * 32, timezone.now(), str(tmp_path / "away" / "one.tar"), 8))
    assert not shelf.is_old()


def test_the_administrator_is_told_on_the_front_page(client: Client, db: None) -> None:
    client.force_login(_old_member(), backend=BACKEND)
    assert "There is no backup of this site." in client.get("/").content.decode()
    _made(8)
    assert "The newest backup of this site is of" in client.get("/").content.decode()
    assert client.get("/health/").json()["backup"] == "old"
    _made(1, "two.tar")
    assert "backup" not in client.get("/").content.decode()
    assert client.get("/health/").json()["backup"] == "recent"


def test_members_are_not_told(client: Client, db: None) -> None:
    _old_member()
    client.force_login(Member.objects.create_user("ana"), backend=BACKEND)
    assert "backup" not in client.get("/").content.decode()


# ---- rotation ----
def test_only_the_newest_of_those_the_site_made_are_kept(db: None, settings: Any) -> None:
    settings.BACKUPS_KEPT = 2
    for days in (5, 4, 3, 2):
        _made(days, f"s{days}.tar", SCHEDULED)
    _made(6, "upgrade.tar", BEFORE_UPGRADE)
    _made(9, "hand.tar")
    assert shelf.rotate() == 2
    names = [Path(made.path).name for made in shelf.made_backups()]
    assert names == ["hand.tar", "upgrade.tar", "s3.tar", "s2.tar"]
    assert sorted(path.name for path in shelf.folder().glob("*.tar")) == sorted(names)


# ---- by itself ----
def test_none_is_made_unless_it_is_set(db: None, settings: Any) -> None:
    settings.BACKUP_EVERY = 0
    regular.ask_if_due()
    assert not DBTaskResult.objects.exists()


def test_it_is_asked_for_once_when_it_is_due(db: None, settings: Any) -> None:
    settings.BACKUP_EVERY = 1
    _made(0.5, "hand.tar")
    for _ in range(2):
        regular.ask_if_due()
    assert DBTaskResult.objects.count() == 1
    DBTaskResult.objects.update(status="FAILED")  # a full disk, say: not at once again
    regular.ask_if_due()
    assert DBTaskResult.objects.count() == 1
    an_hour_ago = timezone.now() - timedelta(hours=1, seconds=1)
    DBTaskResult.objects.update(enqueued_at=an_hour_ago)
    regular.ask_if_due()
    assert DBTaskResult.objects.count() == 2


def test_it_is_not_due_while_the_last_is_young(db: None, settings: Any) -> None:
    settings.BACKUP_EVERY = 2
    _made(1.9, "scheduled.tar", SCHEDULED)
    assert not regular.is_due()
    settings.BACKUP_EVERY = 1
    assert regular.is_due()


def test_the_task_makes_one_and_bears_being_done_twice(world: SecretWorld, settings: Any) -> None:
    settings.BACKUP_EVERY = 1
    for _ in range(2):
        regular.back_up.func()
    (made,) = shelf.made_backups()
    assert (made.why, Path(made.path).parent) == (SCHEDULED, shelf.folder())
    call_command("verify_backup", made.path)


def test_the_task_does_not_fill_the_disk(
    db: None, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.BACKUP_EVERY = 1
    _made(3, "scheduled.tar", SCHEDULED)
    monkeypatch.setattr(regular, "free", lambda folder: disk_space.ENOUGH)
    with pytest.raises(NotMade, match="not enough room"):
        regular.back_up.func()


class _Process:
    """A process that was started, until it is said to have ended."""

    ended: int | None = None

    def poll(self) -> int | None:
        return self.ended


def test_a_process_of_its_own_is_begun_and_only_one(
    db: None, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.BACKUP_EVERY = 1
    begun: list[_Process] = []

    def start(*command: str, **_options: Any) -> _Process:
        assert "--queue-name=backups" in command
        begun.append(_Process())
        return begun[-1]

    monkeypatch.setattr(regular, "started", start)
    beside = regular.BackupsBeside()
    for _ in range(3):
        beside.look()
    assert len(begun) == 1
    begun[0].ended = -9  # killed, and what it had in hand was given back
    beside.look()
    assert len(begun) == 2
    DBTaskResult.objects.update(status="SUCCESSFUL")
    begun[1].ended = 0
    beside.look()
    assert len(begun) == 2


@pytest.mark.django_db(transaction=True)
def test_the_worker_of_other_tasks_leaves_it_alone(settings: Any) -> None:
    settings.BACKUP_EVERY = 1
    regular.ask_if_due()
    call_command("work", batch=True)
    assert shelf.made_backups() == []
    call_command("work", batch=True, queue_name=regular.QUEUE)
    assert [made.why for made in shelf.made_backups()] == [SCHEDULED]


def test_two_at_once_are_not_made(world: SecretWorld, tmp_path: Path) -> None:
    with shelf.only_one(), pytest.raises(NotMade, match="Another backup is being made"):
        make_in_folder(SCHEDULED)


def test_what_a_killed_process_left_is_removed(db: None) -> None:
    for name in ("snapshot-0123", "snapshot-0123-journal", "0123.unfinished"):
        (shelf.folder() / name).write_bytes(b"everything of everybody")
    shelf.forget_left()
    assert [path.name for path in shelf.folder().iterdir()] == [shelf.LOCK]
