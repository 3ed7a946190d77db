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

from django.conf import settings

from tests.served import PATIENCE, ROOT, environment, manage


@dataclass(frozen=True)
class Found:
    """What a site holds, what is wrong with it in words, and the steps that led there."""

    records: dict[str, Any]
    wrong: list[str]
    steps: int


@dataclass(frozen=True)
class Site:
    """``database``: the name of one on the server that the suite runs on; "" keeps SQLite."""

    var: Path
    database: str = ""

    @property
    def environment(self) -> dict[str, str]:
        url = address(self.database) if self.database else ""
        return environment(self.var, **({"DATABASE_URL": url} if url else {}))

    def _run(self, *arguments: str) -> subprocess.CompletedProcess[str]:
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

    def look(self, deed: str = "look") -> Found:
        """What there is, after a deed that is done to the end."""
        looked = self._run(deed)
        assert looked.returncode == 0, looked.stderr
        return Found(**json.loads(looked.stdout))

    @contextmanager
    def copy(self, var: Path) -> Iterator[Site]:
        """A site of its own with the same records, while this lasts."""
        shutil.copytree(self.var, var)
        if not self.database:
            yield Site(var)
            shutil.rmtree(var)
            return
        with _database(f"{self.database}_{var.name}", like=self.database) as name:
            yield Site(var, name)


@contextmanager
def prepared_site(var: Path, with_tables: Callable[[Path], Path]) -> Iterator[Site]:
    """A site with a member and a few pieces, on the kind of database that the suite runs on."""
    if "postgresql" not in settings.DATABASES["default"]["ENGINE"]:
        site = Site(with_tables(var))
        site.prepare()
        yield site
        return
    with _database(f"faults_{os.getpid()}") as name:
        site = Site(var, name)
        made = manage(var, "migrate", "-v0", DATABASE_URL=address(name))
        assert made.returncode == 0, made.stderr
        site.prepare()
        yield site


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
