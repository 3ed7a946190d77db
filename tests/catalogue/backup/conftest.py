"""A site with something of everything, and what a backup of it says, for comparison."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from django.core.management import call_command
from django.db import connection

from catalogue.backup.container import Reader, rows_of
from catalogue.backup.making import make_backup
from catalogue.checking.derived import made_anew
from catalogue.models import Place
from tests.catalogue.secret_world import SecretWorld, make_secret_world
from tests.served import PATIENCE, ROOT, environment, manage
from valuation.models import Schedule
from valuation.schedules.lines import digest
from valuation.schedules.making import document


@pytest.fixture
def backups(tmp_path: Path, settings: Any) -> Path:
    """The site's own folder of backups."""
    settings.BACKUPS_DIR = tmp_path / "backups"
    settings.VAR_DIR = tmp_path
    return tmp_path / "backups"


@pytest.fixture
def world(transactional_db: None, backups: Path) -> SecretWorld:
    """Something of everything, with what is derived from it."""
    made = make_secret_world()
    inner = Place.objects.create(owner=made.owner, name="drawer ✦ 1", within=made.place)
    made.holding.place = inner
    made.holding.note = "a line\nand “another”"
    made.holding.save()
    made_anew()
    for schedule in Schedule.objects.all():  # whose owner was given another name
        schedule.digest = digest(document(schedule, list(schedule.lines.all())))
        schedule.save()
    return made


@pytest.fixture
def backup(world: SecretWorld, tmp_path: Path) -> Path:
    path = tmp_path / "one.tar"
    make_backup(path)
    return path


def content(path: Path) -> dict[str, Any]:
    """The rows of each table in a backup, and the digest of each file."""
    with path.open("rb") as file, Reader(file) as reader:
        found: dict[str, Any] = {
            entry.model: list(rows_of(data)) for entry, data in reader.members("records/")
        }
        return found | {entry.name: entry.sha256 for entry, _ in reader.members("files/")}


@pytest.fixture
def emptied(settings: Any, tmp_path: Path) -> Callable[[], None]:
    """Makes of this instance an empty one, with a storage of its own."""
    count = iter(range(100))

    def empty() -> None:
        call_command("flush", interactive=False, verbosity=0)
        settings.MEDIA_ROOT = tmp_path / f"media-{next(count)}"

    return empty


class Site:
    """A folder with an embedded database, or a database of PostgreSQL with a folder."""

    def __init__(self, var: Path, url: str = "") -> None:
        self.var, self.more = var, {"DATABASE_URL": url} if url else {}
        var.mkdir(exist_ok=True)

    def manage(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        return manage(self.var, *arguments, **self.more)

    def stopped(self, step: int, *arguments: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, "-m", "tests.catalogue.backup.stopped", str(step), *arguments],
            cwd=ROOT,
            env=environment(self.var, **self.more),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def steps_of(self, *arguments: str) -> int:
        """How many steps a command takes."""
        with self.stopped(0, *arguments) as process:
            assert process.stdout
            return int(process.stdout.read().splitlines()[-1].split()[0])

    def kill_at(self, step: int, *arguments: str) -> str:
        """Kill a command at one of its steps; what it was at."""
        with self.stopped(step, *arguments) as process:
            assert process.stdout
            said = process.stdout.readline()
            os.kill(process.pid, signal.SIGKILL)
            process.wait(PATIENCE)
        assert said.startswith("stopped in")
        return said.removeprefix("stopped in ").strip()


@pytest.fixture
def new_site(world: object, tmp_path: Path) -> Iterator[Callable[[str], Site]]:
    """Makes sites that hold nothing, each with a database of its own of the kind that is tested."""
    made: list[str] = []

    def make(name: str) -> Site:
        if connection.vendor == "sqlite":
            return Site(tmp_path / name)
        chosen = connection.settings_dict
        made.append(f"{chosen['NAME']}_{name}")
        with connection.cursor() as cursor:
            cursor.execute(f'CREATE DATABASE "{made[-1]}"')
        door = f"{chosen['USER']}:{quote(chosen['PASSWORD'])}"
        at = f"{chosen['HOST'] or 'localhost'}:{chosen['PORT'] or 5432}"
        return Site(tmp_path / name, f"postgres://{door}@{at}/{made[-1]}")

    yield make
    for name in made:
        with connection.cursor() as cursor:
            cursor.execute(f'DROP DATABASE "{name}" WITH (FORCE)')
