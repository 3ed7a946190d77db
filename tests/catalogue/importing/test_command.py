"""``manage.py import_holdings``, also killed in the middle of it."""

from __future__ import annotations

import io
import json
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import OperationalError

from catalogue.management.commands import import_holdings
from catalogue.models import Holding, ImportedList, ListMapping, Member, Photo
from tests.conftest import Coinage
from tests.served import ROOT, environment, manage

from .brought import listed, picture, row


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "coins.csv"
    path.write_bytes(listed(row(number="K-1"), row("1947"), row("1800", ticket="odd")))
    return path


def _run(*args: Any, code: int = 0) -> str:
    out = io.StringIO()
    if code:
        with pytest.raises(SystemExit) as ended:
            call_command("import_holdings", *map(str, args), stdout=out)
        assert ended.value.code == code
    else:
        call_command("import_holdings", *map(str, args), stdout=out)
    return out.getvalue()


def test_it_takes_in_what_is_sure_and_says_what_to_do_with_the_rest(
    file: Path, member: Member, coinage: Coinage
) -> None:
    said = _run(file, "--member", "ana", code=2)
    assert Holding.objects.count() == 2
    assert "2 made, 0 changed, 0 refused, 1 doubtful." in said
    assert "line 4, doubtful: " in said
    brought = ImportedList.objects.get()
    assert f"/imports/{brought.pk}/settle/" in said


def test_as_json_it_gives_figures_and_rows(file: Path, member: Member, coinage: Coinage) -> None:
    told = json.loads(_run(file, "--member", "ana", "--json", code=2))
    assert {name: told[name] for name in ("made", "changed", "refused", "doubtful")} == {
        "made": 2,
        "changed": 0,
        "refused": 0,
        "doubtful": 1,
    }
    assert [(each["line"], each["outcome"]) for each in told["rows"]] == [
        (2, "made"),
        (3, "made"),
        (4, "doubtful"),
    ]
    assert all(each["reason"] for each in told["rows"])


def test_a_rehearsal_makes_nothing_and_counts_the_same(
    file: Path, member: Member, coinage: Coinage
) -> None:
    told = json.loads(_run(file, "--member", "ana", "--rehearse", "--json", code=2))
    assert not Holding.objects.exists()
    assert (told["made"], told["doubtful"]) == (2, 1)
    assert told == json.loads(_run(file, "--member", "ana", "--json", code=2))


def test_a_list_that_is_all_sure_ends_well(
    tmp_path: Path, member: Member, coinage: Coinage
) -> None:
    path = tmp_path / "sure.csv"
    path.write_bytes(listed(row()))
    _run(path, "--member", "ana")
    _run(path, "--member", "ana")
    assert Holding.objects.count() == 1


def test_a_remembered_mapping_is_used(file: Path, member: Member, coinage: Coinage) -> None:
    fields = ["country", "denomination", "date", "grade", "quantity", "", "", "note"]
    ListMapping.objects.create(owner=member, name="Ledger", mapping={"fields": fields})
    _run(file, "--member", "ana", "--mapping", "Ledger", code=2)
    assert "Number: K-1" in Holding.objects.order_by("pk")[0].imported


def test_pictures_come_from_a_folder(file: Path, member: Member, coinage: Coinage) -> None:
    folder = file.parent / "pictures"
    folder.mkdir()
    (folder / "K-1.png").write_bytes(picture())
    (folder / "me.png").write_bytes(picture())
    said = _run(file, "--member", "ana", "--pictures", folder, code=2)
    assert Photo.objects.get().holding.accession == "K-1"
    assert "picture me.png: " in said


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["FILE", "--member", "nobody"], "No member has the sign-in name nobody."),
        (["FILE", "--member", "ana", "--mapping", "x"], "No columns are remembered as x."),
        (["/no/such.csv", "--member", "ana"], "cannot be opened"),
        (["FILE", "--member", "ana", "--pictures", "/no/such"], "There is no folder"),
    ],
)
def test_a_mistake_is_told(
    file: Path, member: Member, coinage: Coinage, arguments: list[str], words: str
) -> None:
    given = [str(file) if each == "FILE" else each for each in arguments]
    with pytest.raises(CommandError, match=words.replace(".", r"\.")):
        call_command("import_holdings", *given)
    assert not ImportedList.objects.exists()


def test_another_members_mapping_is_not_there(
    file: Path, member: Member, other: Member, coinage: Coinage
) -> None:
    ListMapping.objects.create(owner=other, name="Ledger", mapping={})
    with pytest.raises(CommandError, match="No columns are remembered"):
        call_command("import_holdings", str(file), "--member", "ana", "--mapping", "Ledger")


def test_a_disk_so_full_that_the_database_cannot_be_opened_is_said(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: Any) -> Any:
        raise OperationalError("disk I/O error")

    monkeypatch.setattr(import_holdings.Command, "_member", full)
    with pytest.raises(CommandError, match="The disk is full, so nothing was taken in"):
        call_command("import_holdings", str(file), "--member", "ana")


# ---- killed ----
DATABASE = "exergue.sqlite3"
KILL = """
import os, signal, sys
import django
django.setup()
from django.core.management import call_command
from django.utils.module_loading import import_string
from catalogue.importing import publishing

publishing.PARCEL = 2
owner, name = import_string(sys.argv[1]), sys.argv[2]
whole, left = getattr(owner, name), int(sys.argv[3])

def killed(*args, **more):
    global left
    left -= 1
    if left < 0:
        os.kill(os.getpid(), signal.SIGKILL)
    return whole(*args, **more)

setattr(owner, name, killed)
call_command("import_holdings", sys.argv[4], "--member", "ana")
"""
MOMENTS = {
    "while rows are read": ("catalogue.importing.staging._Reader", "read", 3),
    "once rows are kept": ("catalogue.importing.staging._Reader", "asked", 0),
    "between two parcels of pieces": ("catalogue.importing.publishing._Taking", "_link", 1),
    "when all is made": ("catalogue.importing.publishing._Taking", "_note", 0),
    "before it is committed": ("catalogue.models.ImportedList", "save", 2),
}


@pytest.fixture(scope="module")
def ready(with_tables: Callable[[Path], Path], tmp_path_factory: Any) -> Path:
    """A site with a coinage and a member, made once."""
    folder = with_tables(tmp_path_factory.mktemp("ready"))
    assert manage(folder, "load_pack", "fixtures/packs/halvern").returncode == 0
    made = "from catalogue.models import Member; Member.objects.create_user('ana')"
    assert manage(folder, "shell", "-c", made).returncode == 0
    return folder


@pytest.mark.parametrize("moment", MOMENTS)
def test_killed_it_leaves_nothing_and_then_all_comes_in(
    moment: str, ready: Path, tmp_path: Path
) -> None:
    with (
        closing(sqlite3.connect(ready / DATABASE)) as whole,
        closing(sqlite3.connect(tmp_path / DATABASE)) as copy,
    ):
        whole.backup(copy)
    path = tmp_path / "coins.csv"
    rows = [row("1931", "5 tinne", country="Halvern", ticket=str(n)) for n in range(6)]
    path.write_bytes(listed(*rows))
    owner, name, after = MOMENTS[moment]
    killed = subprocess.run(
        [sys.executable, "-c", KILL, owner, name, str(after), str(path)],
        cwd=ROOT,
        env=environment(tmp_path, DJANGO_SETTINGS_MODULE="catalogue.settings"),
        capture_output=True,
        text=True,
        check=False,
    )
    assert killed.returncode == -9, killed.stderr
    assert _pieces(tmp_path) == 0
    done = manage(tmp_path, "import_holdings", str(path), "--member", "ana")
    assert done.returncode == 0, done.stderr
    assert _pieces(tmp_path) == 6


def _pieces(folder: Path) -> int:
    with closing(sqlite3.connect(folder / DATABASE)) as database:
        count: int = database.execute("SELECT count(*) FROM catalogue_holding").fetchone()[0]
    return count
