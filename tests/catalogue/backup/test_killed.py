"""A process is killed in the middle of a backup or of restoring one: nothing half-done is seen.

Where it is killed is drawn by lot from a seed.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from django.db import connection

from tests.served import PATIENCE, ROOT, environment, manage

from .conftest import content

SEED = 20260503


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


def killed_while_backing_up(site: Site, step: int, before: Path) -> str:
    """No file has its name; the next backup leaves nothing of the one that was killed."""
    path = site.var / "backups" / "killed.tar"
    at = site.kill_at(step, "backup", str(path))
    assert not path.exists()
    assert site.manage("check_records").returncode == 0
    assert site.manage("backup", str(path)).returncode == 0
    left = {file.name for file in path.parent.iterdir()} - {"list.jsonl", "making.lock"}
    assert left == {path.name}
    assert content(path) == content(before)
    path.unlink()
    return at


def killed_while_restoring(site: Site, step: int, backup: Path) -> str:
    """The instance is as empty as before, and takes the whole backup the next time."""
    at = site.kill_at(step, "restore", str(backup))
    asked = site.manage("backup", str(site.var / "none.tar"))
    assert "no database yet" in asked.stderr
    done = site.manage("restore", str(backup))
    assert done.returncode == 0, done.stderr
    assert site.manage("check_records").returncode == 0
    assert site.manage("backup", str(site.var / "again.tar")).returncode == 0
    assert content(site.var / "again.tar") == content(backup)
    return at


def test_a_killed_backup_leaves_nothing_half_done(
    new_site: Callable[[str], Site], backup: Path
) -> None:
    site = new_site("killed")
    assert site.manage("restore", str(backup)).returncode == 0
    steps = site.steps_of("backup", str(site.var / "whole.tar"))
    killed_while_backing_up(site, random.Random(SEED).randint(1, steps), backup)


def test_a_killed_restore_leaves_an_empty_instance(
    new_site: Callable[[str], Site], backup: Path
) -> None:
    steps = new_site("counted").steps_of("restore", str(backup))
    killed_while_restoring(new_site("killed"), random.Random(SEED).randint(1, steps), backup)
