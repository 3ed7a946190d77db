"""Who was erased stays erased when a backup is put back that still held them."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from catalogue.backup import erased, shelf
from catalogue.backup.making import make_backup
from catalogue.backup.restoring import restore
from catalogue.backup.shelf import Made
from catalogue.members.erase import erase_member
from catalogue.models import Holding, Member, SiteFact
from tests.catalogue.secret_world import SecretWorld

from .conftest import content

PAPER = "receipts/bill.pdf"


def test_a_member_erased_since_is_erased_again(
    world: SecretWorld, backup: Path, backups: Path, emptied: Callable[[], None], tmp_path: Path
) -> None:
    number = erased.number_of(world.owner)
    erase_member(world.owner)
    assert (backups / erased.LIST).read_text() == f"{number}\n"
    assert not SiteFact.objects.filter(key__startswith=erased.DUE).exists()
    make_backup(tmp_path / "since.tar")
    emptied()
    done = restore(backup)
    assert (done.erased, Member.objects.filter(username="owner").exists()) == (1, False)
    assert not Holding.everything.filter(owner=world.owner.pk).exists()
    assert not default_storage.exists(PAPER)
    make_backup(tmp_path / "again.tar")
    assert content(tmp_path / "again.tar") == content(tmp_path / "since.tar")
    call_command("check_records")


def test_a_list_that_lies_beside_the_backup_is_read_too(
    world: SecretWorld, backup: Path, emptied: Callable[[], None]
) -> None:
    (backup.parent / erased.LIST).write_text(erased.number_of(world.owner))
    emptied()
    assert restore(backup).erased == 1


def test_a_list_can_be_named(
    world: SecretWorld, backup: Path, emptied: Callable[[], None], tmp_path: Path
) -> None:
    (tmp_path / "other.txt").write_text(erased.number_of(world.administrator))
    emptied()
    out = io.StringIO()
    call_command("restore", str(backup), "--erased", str(tmp_path / "other.txt"), stdout=out)
    assert "1 members who were erased since" in out.getvalue()
    assert "No administrator can sign in" in out.getvalue()


def test_the_list_says_nothing_of_anybody(world: SecretWorld, backups: Path) -> None:
    erase_member(world.owner)
    (line,) = (backups / erased.LIST).read_text().splitlines()
    assert (len(line), set(line) <= set("0123456789abcdef")) == (32, True)


def test_another_member_with_the_same_row_is_another(make_member: Callable[..., Member]) -> None:
    one = make_member("ana")
    number = erased.number_of(one)
    one.joined_at += timedelta(microseconds=1)
    assert erased.number_of(one) != number


def test_what_cannot_be_written_down_is_written_later(
    world: SecretWorld, backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(fd: int) -> None:
        raise OSError(28, "No space left on device")

    number = erased.number_of(world.owner)
    with monkeypatch.context() as patch:
        patch.setattr("catalogue.site.whole_files.os.fsync", full)
        erase_member(world.owner)
    assert SiteFact.objects.filter(key=erased.DUE + number).exists()
    call_command("empty_bin")
    assert (backups / erased.LIST).read_text() == f"{number}\n"


@pytest.mark.django_db(transaction=True)
def test_a_failed_erasure_is_not_on_the_list(
    member: Member, backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(self: Member) -> None:
        raise RuntimeError("the machine stopped")

    monkeypatch.setattr(Member, "delete", fail)
    with pytest.raises(RuntimeError):
        erase_member(member)
    erased.write_down()
    assert not (backups / erased.LIST).exists()


def test_the_backups_that_hold_a_member_are_named(
    member: Member, client: Client, backups: Path, tmp_path: Path
) -> None:
    """By day and number on their page; the keeper of the site is told where they lie."""
    now = timezone.now()
    kept = tmp_path / "kept.tar"
    kept.touch()
    shelf.note_made(Made("a" * 32, now + timedelta(hours=1), str(kept), 0))
    shelf.note_made(Made("b" * 32, now - timedelta(days=9), str(tmp_path / "before.tar"), 0))
    shelf.note_made(Made("c" * 32, now + timedelta(hours=2), str(tmp_path / "gone.tar"), 0))
    (tmp_path / "before.tar").touch()
    client.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
    page = client.get(reverse("account-erase")).content.decode()
    assert "aaaaaaaa of" in page
    assert "bbbbbbbb" not in page
    assert "cccccccc" not in page
    assert str(kept) not in page
    out = io.StringIO()
    call_command("erase_member", "ana", "--list", stdout=out)
    assert f"Backup aaaaaaaa of {now + timedelta(hours=1):%d %B %Y}: {kept}" in out.getvalue()
