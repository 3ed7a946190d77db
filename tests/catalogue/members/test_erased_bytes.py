"""Erased means erased: not a byte of a member is left in the database's file or beside it.

The collection is copied into a real file, with traces that an older version of the site left there,
and erased by the command while another process has the database open, as a server has.
"""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.db.models import CharField, JSONField, Model, TextField
from django_tasks_db.models import DBTaskResult

from catalogue.members.links import mail_resets, make_invitation
from catalogue.members.member_data import member_data
from tests.served import manage

from .conftest import NAME, Collection

MARK = "zyxmarker"
SHORT = 15  # there is no room for the mark and a number
KEPT = ("username", "token_hash", "digest", "file", "password")  # what other things hang on


def _mark(row: Model) -> None:
    """Put the mark into every column of free text."""
    for field in row._meta.concrete_fields:
        if field.choices or field.name in KEPT:
            continue
        value: Any = f"{MARK} {row.pk} {field.name}"
        if isinstance(field, JSONField):
            value = {"x": [value]}
        elif not isinstance(field, (CharField, TextField)) or (field.max_length or 999) < SHORT:
            continue
        else:
            value = value[: field.max_length]
        type(row)._base_manager.filter(pk=row.pk).update(**{field.name: value})


@pytest.fixture
def marked(full_collection: Collection, settings: Any, tmp_path: Path) -> Collection:
    for part in member_data():
        for table in part.tables(full_collection.owner):
            for row in table.rows:
                if row != full_collection.shared_value:
                    _mark(row)
    for name in (full_collection.receipt, full_collection.sheet, full_collection.listed):
        Path(default_storage.path(name)).write_bytes(b"%PDF " + MARK.encode())
    full_collection.owner.refresh_from_db()
    full_collection.owner.email = f"{NAME}@example.org"
    full_collection.owner.save()
    make_invitation(None, "member", f"{NAME}@Example.org")
    mail_resets.enqueue(f"{NAME}@example.org")
    mail_resets.enqueue("someone@example.org")
    failed = mail_resets.enqueue("")
    DBTaskResult.objects.filter(pk=failed.id).update(
        status="FAILED", traceback=f"{MARK} was no place"
    )
    return full_collection


@pytest.fixture
def var(
    marked: Collection,
    tmp_path: Path,
    tmp_path_factory: Any,
    with_tables: Callable[[Path], Path],
) -> Iterator[Path]:
    """The folder of a site whose database is a file that holds all of it."""
    dump = tmp_path_factory.mktemp("dump") / "all.json"
    call_command("dumpdata", "--all", exclude=["contenttypes"], output=str(dump), verbosity=0)
    assert MARK in dump.read_text()
    done = manage(with_tables(tmp_path), "loaddata", str(dump), "-v0")
    assert done.returncode == 0, done.stderr
    server = sqlite3.connect(tmp_path / "exergue.sqlite3", isolation_level=None)
    server.executescript(
        "PRAGMA secure_delete=OFF; CREATE TABLE older (t TEXT);"
        + f"INSERT INTO older VALUES ('{MARK}'), (hex(zeroblob(9000)) || '{MARK}');"
        + f"UPDATE older SET t = '{MARK} again'; DROP TABLE older;"
    )
    left = tmp_path / "uploads" / "tmp0.upload.jpg"
    left.write_bytes(MARK.encode())
    os.utime(left, (0, 0))
    yield tmp_path
    server.close()


def _files_with(folder: Path, words: list[bytes]) -> list[str]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return sorted(
        str(path.relative_to(folder))
        for path in files
        if any(word in path.read_bytes().lower() for word in words)
    )


def test_no_byte_of_an_erased_member_is_left(marked: Collection, var: Path) -> None:
    picture = (var / "media" / marked.picture).read_bytes()[-40:].lower()
    words = [MARK.encode(), NAME.encode(), picture]
    assert {marked.receipt, marked.sheet, marked.listed, marked.picture} <= {
        name.removeprefix("media/") for name in _files_with(var, words)
    }
    assert "exergue.sqlite3-wal" in _files_with(var, words)
    done = manage(var, "erase_member", NAME, "--yes")
    assert done.returncode == 0, done.stderr
    assert "is erased" in done.stdout
    assert "not overwritten yet" not in done.stdout
    assert _files_with(var, words) == []
    database = sqlite3.connect(var / "exergue.sqlite3")
    assert database.execute("SELECT count(*) FROM catalogue_holding").fetchone() == (1,)
    tasks = database.execute("SELECT args_kwargs FROM django_tasks_database_dbtaskresult")
    assert [json.loads(args)["args"] for (args,) in tasks] == [["someone@example.org"]]
    database.close()


def test_while_another_reads_it_is_said_and_done_later(marked: Collection, var: Path) -> None:
    reader = sqlite3.connect(var / "exergue.sqlite3", isolation_level=None)
    reader.execute("BEGIN")
    reader.execute("SELECT count(*) FROM catalogue_holding").fetchone()
    done = manage(var, "erase_member", NAME, "--yes")
    assert "not overwritten yet" in done.stdout
    reader.close()
    assert _files_with(var, [MARK.encode()]) != []
    assert manage(var, "empty_bin").returncode == 0
    assert _files_with(var, [MARK.encode(), NAME.encode()]) == []


def test_the_mark_is_in_every_kind_of_row(marked: Collection) -> None:
    """Else the search above would look for what never was there."""
    unmarked = {
        table.name
        for part in member_data()
        for table in part.tables(marked.owner)
        if not any(MARK in str(vars(row)) for row in table.rows)
    }
    assert unmarked == {"photographs", "schedule_photographs", "schedule_numbers"}
