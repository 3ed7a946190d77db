"""A database of the first release is backed up before it is brought up to date.

That backup, which shows the first release's tables, is then put back into empty instances: on
SQLite and in the database that is tested.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from catalogue.backup import shelf
from catalogue.backup.container import Reader, rows_of
from catalogue.backup.restoring import restore
from catalogue.models import Holding, Member
from tests.served import Served, manage
from valuation.models import ScheduleNumbers

FIRST = Path(__file__).parent / "first_release.sql"
EVERYTHING = "SELECT accession, title, row_version FROM catalogue_holding ORDER BY accession"


@pytest.fixture
def first_release(tmp_path: Path) -> Path:
    var = tmp_path / "first"
    var.mkdir()
    with closing(sqlite3.connect(var / "exergue.sqlite3")) as stored:
        stored.executescript(FIRST.read_text("utf-8"))
    return var


def _made(var: Path) -> Path:
    (made,) = (var / "backups").glob("*.tar")
    return made


def _rows(var: Path, sql: str) -> list[Any]:
    with closing(sqlite3.connect(var / "exergue.sqlite3")) as stored:
        return stored.execute(sql).fetchall()


def test_migrating_backs_up_first_and_only_what_holds_something(first_release: Path) -> None:
    before = _rows(first_release, EVERYTHING)
    done = manage(first_release, "migrate", "-v0")
    assert done.returncode == 0, done.stderr
    assert "Backed up first" in done.stdout
    with _made(first_release).open("rb") as file, Reader(file) as reader:
        assert list(reader.faults()) == []
        assert reader.head["release"]["catalogue"] == "0001_initial"
        rows = {entry.model: list(rows_of(data)) for entry, data in reader.members("records/")}
    assert len(rows["catalogue.holding"]) == len(before)
    assert "own_text" not in rows["catalogue.holding"][0]
    assert manage(first_release, "migrate", "-v0").returncode == 0
    assert _made(first_release)


def test_an_empty_database_is_not_backed_up(tmp_path: Path) -> None:
    assert manage(tmp_path, "migrate", "-v0").returncode == 0
    assert not (tmp_path / "backups").exists()


def test_without_a_backup_nothing_is_migrated(first_release: Path) -> None:
    (first_release / "backups").write_text("a file where the folder should be")
    refused = manage(first_release, "migrate", "-v0")
    assert refused.returncode == 1
    assert "Nothing was changed in the database" in refused.stderr
    last = "SELECT max(name) FROM django_migrations WHERE app = 'catalogue'"
    assert _rows(first_release, last) == [("0001_initial",)]
    assert manage(first_release, "migrate", "-v0", "--no-backup").returncode == 0


def test_serving_brings_it_up_to_date_after_a_backup(first_release: Path) -> None:
    server = Served(first_release)
    try:
        server.wait_for("Bringing the database up to this version")
        server.wait_for("Backed up first")
        server.wait_for("is served at")
        assert server.get("/health/")[0] == 200
    finally:
        server.end()
    assert _made(first_release)


def test_one_of_several_machines_does_not(first_release: Path) -> None:
    refused = manage(first_release, "serve", "--no-worker", "--port", "8999")
    assert refused.returncode == 1
    assert "manage.py migrate" in refused.stderr


@pytest.fixture
def backup(first_release: Path) -> Path:
    assert manage(first_release, "backup", str(first_release / "old.tar")).returncode == 0
    return first_release / "old.tar"


def test_it_is_restored_into_a_database_without_tables(
    first_release: Path, backup: Path, tmp_path: Path
) -> None:
    var = tmp_path / "new"
    var.mkdir()
    done = manage(var, "restore", str(backup))
    assert done.returncode == 0, done.stderr
    assert _rows(var, EVERYTHING) == _rows(first_release, EVERYTHING)
    assert _rows(var, "SELECT year, highest FROM valuation_schedulenumbers") == [(2026, 1)]
    said = manage(var, "check_records").stdout.splitlines()
    # The schedule was put in by hand, without lines or digest; all else is as it should be.
    assert {line[:10] for line in said} == {"Schedule 1"}
    assert manage(var, "migrate", "--check").returncode == 0


@pytest.mark.django_db(transaction=True)
def test_it_is_restored_into_the_tables_of_this_release(
    backup: Path, tmp_path: Path, settings: Any
) -> None:
    settings.BACKUPS_DIR = tmp_path / "backups"
    done = restore(backup)
    assert done.rows > 0
    assert Member.objects.count() == 1
    assert sorted(Holding.objects.values_list("accession", "own_text")) == [
        ("2026.001", "box"),
        ("2026.002", ""),
    ]
    assert ScheduleNumbers.objects.get().highest == 1
    assert Holding.objects.create(owner=Member.objects.get(), accession="3").pk > 2
    call_command("migrate", "--check", verbosity=0)


def test_a_restored_one_is_on_the_list(backup: Path) -> None:
    made = (backup.parent / "backups" / shelf.LIST).read_text()
    assert str(backup) in made
