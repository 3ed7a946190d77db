"""The server as a process of its own, over an empty folder: told, asked over the network, ended."""

from __future__ import annotations

import http.client
import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest

ROOT = Path(__file__).parents[1]
PATIENCE = 30


def environment(var: Path, **more: str) -> dict[str, str]:
    own = {k: v for k, v in os.environ.items() if not k.startswith(("EXERGUE", "DATABASE"))}
    return {**own, "EXERGUE_VAR": str(var), "PYTHONUNBUFFERED": "1", **more}


def manage(var: Path, *arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=ROOT,
        env=environment(var, **more),
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE * 2,
    )


@pytest.fixture(scope="session")
def with_tables(tmp_path_factory: Any) -> Callable[[Path], Path]:
    """Puts the database of a site that holds nothing yet into a folder; migrated once for all."""
    name = "exergue.sqlite3"
    migrated = tmp_path_factory.mktemp("migrated")
    done = manage(migrated, "migrate", "-v0")
    assert done.returncode == 0, done.stderr

    def put(folder: Path) -> Path:
        with (
            closing(sqlite3.connect(migrated / name)) as whole,
            closing(sqlite3.connect(folder / name)) as copy,
        ):
            whole.backup(copy)
        (folder / name).chmod(0o600)
        return folder

    return put


def free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
    return port


class Served:
    """A running ``manage.py serve``: what it said, what it logged, and asking it.

    One process serves unless ``--processes`` is among the arguments.
    """

    def __init__(self, var: Path, *arguments: str, **more: str) -> None:
        self.port = free_port()
        self.log = var / "log.txt"
        if "--processes" not in arguments:
            arguments = ("--processes", "1", *arguments)
        with self.log.open("w") as log:
            self.process = subprocess.Popen(
                [sys.executable, "manage.py", "serve", "--port", str(self.port), *arguments],
                cwd=ROOT,
                env=environment(var, **more),
                stdout=subprocess.PIPE,
                stderr=log,
                text=True,
            )
        self.said: list[str] = []

    def wait_for(self, pattern: str) -> re.Match[str]:
        """Read on until it says this; fails when it ends first."""
        assert self.process.stdout
        for line in self.process.stdout:
            self.said.append(line)
            found = re.search(pattern, line)
            if found:
                return found
        raise AssertionError(f"never said {pattern}: {self.said} {self.log.read_text()}")

    def get(self, path: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        connection.request("GET", path, headers=named)
        answer = connection.getresponse()
        body = answer.read()
        connection.close()
        return answer.status, {k.lower(): v for k, v in answer.getheaders()}, body

    def post(self, path: str, fields: dict[str, str], **headers: str) -> int:
        """Send the form of a page, as a browser does that was given the page."""
        _status, told, page = self.get(path, **headers)
        token = re.search(rb'csrfmiddlewaretoken" value="([^"]+)', page)
        assert token
        body = urlencode({**fields, "csrfmiddlewaretoken": token[1].decode()})
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        sent = {
            "Cookie": told["set-cookie"].split(";")[0],
            "Content-Type": "application/x-www-form-urlencoded",
            **{name.replace("_", "-"): value for name, value in headers.items()},
        }
        connection.request("POST", path, body, sent)
        status = connection.getresponse().status
        connection.close()
        return status

    def stop(self, sent: int = signal.SIGTERM) -> int:
        self.process.send_signal(sent)
        return self.process.wait(PATIENCE)

    def end(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait(PATIENCE)
        if self.process.stdout:
            self.process.stdout.close()
