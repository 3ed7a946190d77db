"""Sites to be killed in: a folder with its database, copied from one that was prepared."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from tests.faults.deeds import DEEDS, KEPT
from tests.faults.forks import Forks
from tests.served import PATIENCE, ROOT, environment, manage

ABOUT_STAGED = ("catalogue.deed", "catalogue.alteration")
"""Where it is also told that something was staged."""
EMPTY = "empty"


@dataclass(frozen=True)
class Found:
    """What a site holds, what is wrong with it in words, and the steps that led there."""

    records: dict[str, Any]
    files: dict[str, str]
    wrong: list[str]
    steps: int
    seconds: float

    def shown(self, deed: str) -> dict[str, Any]:
        """The records, but for what a deed may leave for the next time without anybody seeing."""
        return {k: rows for k, rows in self.records.items() if k not in DEEDS[deed].staged}

    def is_as(self, other: Found) -> bool:
        """Whether rows and files are those that were looked at closely before."""
        return (self.records, self.files) == (other.records, other.files)

    def counts(self, deed: str) -> dict[str, int]:
        return {k: len(rows) for k, rows in self.shown(deed).items() if k not in ABOUT_STAGED}


@dataclass(frozen=True)
class Site:
    """``database``: the name of one on the server that the suite runs on; "" keeps SQLite.

    ``forks``: what runs the deeds of the site in this folder, where not each begins by itself.
    """

    var: Path
    database: str = ""
    forks: Forks | None = None

    @property
    def environment(self) -> dict[str, str]:
        url = address(self.database) if self.database else ""
        return environment(self.var, **({"DATABASE_URL": url} if url else {}))

    def _run(self, *arguments: str, after: float | None = None) -> subprocess.CompletedProcess[str]:
        if self.forks:
            return self.forks.run(*arguments, after=after)
        return subprocess.run(
            [sys.executable, "-m", "tests.faults.deeds", *arguments],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            check=False,
            timeout=PATIENCE * 4,
        )

    def prepare(self) -> None:
        prepared = self._run("prepare")
        assert prepared.returncode == 0, prepared.stderr

    def kill(self, deed: str, step: int) -> None:
        done = self._run(deed, str(step))
        assert done.returncode == -signal.SIGKILL, (step, done.stdout, done.stderr)

    def kill_after(self, deed: str, seconds: float) -> bool:
        """Kill it after so many seconds; whether it was not done by then."""
        done = self._run(deed, "0", after=seconds)
        assert done.returncode in (0, -signal.SIGKILL), (seconds, done.stdout, done.stderr)
        return done.returncode != 0

    def look(self, deed: str = "look") -> Found:
        """What there is, after a deed that is done to the end."""
        looked = self._run(deed)
        assert looked.returncode == 0, looked.stderr
        return Found(**json.loads(looked.stdout))

    @contextmanager
    def copy(self, var: Path, deed: str, forks: Forks | None = None) -> Iterator[Site]:
        """A site of its own for a deed, with the same records or with none, while this lasts."""
        like, of = self.database, self.var
        if DEEDS[deed].into_nothing:
            like, of = f"{like}_{EMPTY}", self.var.with_name(EMPTY)
        shutil.copytree(of, var)
        try:
            if self.database:
                with _database(f"{self.database}_{var.name}", like=like) as name:
                    yield Site(var, name, forks)
            else:
                yield Site(var, forks=forks)
        finally:
            shutil.rmtree(var)

    def at(self, var: Path) -> Site:
        """Where a copy would be."""
        return Site(var, f"{self.database}_{var.name}" if self.database else "")


@contextmanager
def prepared_site(
    var: Path, with_tables: Callable[[Path], Path], *, on_server: bool
) -> Iterator[Site]:
    """A site with a member and a few pieces, and beside it one with tables and a backup only; on
    the server that DATABASE_URL names, or on SQLite."""
    empty = var.with_name(EMPTY)
    for folder in (var, empty):
        folder.mkdir(exist_ok=True)
    if not on_server:
        with_tables(empty)
        shutil.copytree(empty, var, dirs_exist_ok=True)
        yield _prepared(Site(var))
        return
    name = f"faults_{os.getpid()}"
    with _database(f"{name}_{EMPTY}") as tables:
        made = manage(empty, "migrate", "-v0", DATABASE_URL=address(tables))
        assert made.returncode == 0, made.stderr
        with _database(name, like=tables):
            yield _prepared(Site(var, name))


def _prepared(site: Site) -> Site:
    site.prepare()
    shutil.copy(site.var / KEPT, site.var.with_name(EMPTY))
    return site


@contextmanager
def _database(name: str, like: str = "template0") -> Iterator[str]:
    """A database of this name on the server, while this lasts."""
    import psycopg

    with psycopg.connect(os.environ["DATABASE_URL"], autocommit=True) as server:
        server.execute(f'CREATE DATABASE "{name}" TEMPLATE "{like}"')
    try:
        yield name
    finally:
        with psycopg.connect(os.environ["DATABASE_URL"], autocommit=True) as server:
            server.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


def address(name: str) -> str:
    """The address of a database on the server that the suite runs on."""
    return urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()
