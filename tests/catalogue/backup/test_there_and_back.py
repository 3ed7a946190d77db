"""A backup put back gives the same records and files, on SQLite and PostgreSQL and between them."""

from __future__ import annotations

import json
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import connection

from catalogue.backup import restoring
from catalogue.backup.carried import LEFT_OUT, carried
from catalogue.backup.making import NotMade, make_backup
from catalogue.backup.numbers import last_number
from catalogue.backup.restoring import NotRestored, restore
from catalogue.holdings.changes import current_number
from catalogue.models import Device, HandedLink, Holding, Member, Photo, Sheet
from series.models import Motif
from series.picture.pictures import FULL, picture_name
from tests.catalogue.secret_world import SecretWorld
from tests.served import manage

from .conftest import content


def _nothing_there() -> bool:
    return not any(model._base_manager.exists() for model in carried(apps))


def test_the_same_database_gives_the_same_records_and_files(
    backup: Path, emptied: Callable[[], None], tmp_path: Path
) -> None:
    emptied()
    done = restore(backup)
    made = make_backup(tmp_path / "two.tar")
    assert content(tmp_path / "two.tar") == content(backup)
    assert (done.rows, done.files) == (made.rows, made.files)
    assert made.lacking == 0
    call_command("check_records")


def test_from_either_database_by_sqlite_and_back(
    backup: Path, emptied: Callable[[], None], tmp_path: Path
) -> None:
    """On SQLite that is a database that has no tables yet; on PostgreSQL the move of a club."""
    var = tmp_path / "elsewhere"
    var.mkdir()
    restored = manage(var, "restore", str(backup))
    assert restored.returncode == 0, restored.stderr
    assert "No administrator" not in restored.stdout
    checked = manage(var, "check_records")
    assert (checked.returncode, checked.stdout) == (
        0,
        "All records and files are there and as they should be.\n",
    )
    assert manage(var, "backup", str(tmp_path / "two.tar")).returncode == 0
    assert content(tmp_path / "two.tar") == content(backup)
    emptied()
    restore(tmp_path / "two.tar")
    make_backup(tmp_path / "three.tar")
    assert content(tmp_path / "three.tar") == content(backup)


def test_it_is_for_this_account_alone_and_holds_no_way_in(
    world: SecretWorld, tmp_path: Path
) -> None:
    path = tmp_path / "one.tar"
    make_backup(path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    inside = content(path)
    assert HandedLink.objects.exists()
    assert Device.objects.exists()
    left_out = {label.split(".")[0] for label in LEFT_OUT if "." not in label}
    assert not [label for label in inside if label in LEFT_OUT or label.split(".")[0] in left_out]
    assert len(inside["catalogue.member"]) == Member.objects.count()


def test_the_numbers_of_rows_go_on_where_they_were(
    world: SecretWorld, emptied: Callable[[], None], tmp_path: Path
) -> None:
    """A number once given to a row that is gone is not given again."""
    gone = Motif.objects.create(key="whale", name="whale")
    number = gone.pk
    gone.delete()
    make_backup(tmp_path / "one.tar")
    emptied()
    restore(tmp_path / "one.tar")
    assert last_number(connection, Motif) == number
    assert Motif.objects.create(key="seal", name="seal").pk == number + 1


def test_what_is_kept_on_disk_is_made_anew(
    backup: Path, emptied: Callable[[], None], settings: Any
) -> None:
    emptied()
    settings.KEPT_DIR.mkdir(parents=True)
    kept = settings.KEPT_DIR / "holdings.arrays"
    kept.write_bytes(b"of another database")
    restore(backup)
    assert not kept.exists()
    assert current_number() > 0


def test_a_sheet_that_waited_says_that_it_is_not_drawn(
    world: SecretWorld, emptied: Callable[[], None], tmp_path: Path
) -> None:
    Sheet.objects.create(owner=world.owner, kind="labels", title="Waiting")
    make_backup(tmp_path / "one.tar")
    emptied()
    restore(tmp_path / "one.tar")
    waited = Sheet.objects.get(title="Waiting")
    assert (waited.state, "Ask for it again" in waited.message) == ("failed", True)


def test_an_instance_that_holds_something_is_left_alone(backup: Path, world: SecretWorld) -> None:
    before = Holding.everything.count()
    with pytest.raises(CommandError, match="holds records already"):
        call_command("restore", str(backup))
    assert Holding.everything.count() == before
    assert default_storage.exists(picture_name(world.photo.digest, FULL))


def test_a_damaged_backup_changes_nothing(
    backup: Path, emptied: Callable[[], None], settings: Any
) -> None:
    data = backup.read_bytes()
    at = data.index(b"%PDF-1.7")
    backup.write_bytes(data[:at] + b"%PDF-1.8" + data[at + 8 :])
    emptied()
    with pytest.raises(CommandError, match=r"damaged.*\n.*was altered"):
        call_command("restore", str(backup))
    assert _nothing_there()
    assert not Path(settings.MEDIA_ROOT).exists()


def test_a_failure_in_the_middle_leaves_an_empty_instance(
    backup: Path,
    emptied: Callable[[], None],
    settings: Any,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fail() -> int:
        raise RuntimeError("the machine stopped")

    emptied()
    with monkeypatch.context() as patch:
        patch.setattr(restoring, "made_anew", fail)
        with pytest.raises(RuntimeError):
            restore(backup)
    assert _nothing_there()
    assert not [path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()]
    restore(backup)
    call_command("check_records")


def test_what_a_broken_off_restore_left_in_the_storage_is_in_nobodys_way(
    backup: Path, emptied: Callable[[], None], world: SecretWorld, tmp_path: Path
) -> None:
    digest = world.photo.digest
    emptied()
    for name, text in ((picture_name(digest, FULL), b"half"), ("pictures/aa/left", b"left")):
        path = Path(default_storage.path(name))
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text)
    restore(backup)
    make_backup(tmp_path / "two.tar")
    assert content(tmp_path / "two.tar") == content(backup)
    assert not default_storage.exists("pictures/aa/left")


def test_a_backup_of_a_later_release_is_refused_in_words(
    backup: Path, emptied: Callable[[], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    emptied()
    later = [("catalogue", "9999_later")]
    monkeypatch.setattr(restoring, "unknown", lambda nodes: later)
    with pytest.raises(NotRestored, match=r"catalogue 9999_later.*Update this site"):
        restore(backup)
    assert _nothing_there()


def test_a_file_that_is_lacking_is_counted_and_not_the_end(
    world: SecretWorld, tmp_path: Path, capsys: Any
) -> None:
    default_storage.delete("receipts/bill.pdf")
    default_storage.delete(picture_name(Photo.objects.all()[0].digest, FULL))
    call_command("backup", str(tmp_path / "one.tar"))
    assert "2 files that records name are not in the storage" in capsys.readouterr().err
    call_command("verify_backup", str(tmp_path / "one.tar"))


@pytest.mark.parametrize("where", ["no-such-folder/one.tar", "."])
def test_a_place_where_nothing_can_be_written_is_told(
    world: SecretWorld, tmp_path: Path, where: str
) -> None:
    with pytest.raises(NotMade, match="folder"):
        make_backup(tmp_path / where)


def test_a_file_that_is_not_there_is_told(db: None, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="no file"):
        call_command("restore", str(tmp_path / "none.tar"))
    with pytest.raises(SystemExit):
        call_command("verify_backup", str(tmp_path / "none.tar"))


def test_verifying_answers_as_json(backup: Path, capsys: Any) -> None:
    call_command("verify_backup", str(backup), "--json")
    said = json.loads(capsys.readouterr().out)
    assert (said["ok"], said["wrong"]) == (True, [])
    assert said["rows"] == sum(
        len(rows) for rows in content(backup).values() if isinstance(rows, list)
    )
    backup.write_bytes(backup.read_bytes()[:3000])
    with pytest.raises(SystemExit):
        call_command("verify_backup", str(backup), "--json")
    assert json.loads(capsys.readouterr().out)["ok"] is False
