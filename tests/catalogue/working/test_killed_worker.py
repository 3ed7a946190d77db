"""A real worker is killed in the middle of a sheet; the sheet is drawn all the same."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.served import PATIENCE, ROOT, Served, environment, manage

SLOW = {"DJANGO_SETTINGS_MODULE": "tests.catalogue.working.slow_settings"}
ASK = "from tests.catalogue.working.slow_sheet import ask_slowly; ask_slowly()"


@pytest.fixture
def var(tmp_path: Path, with_tables: Callable[[Path], Path]) -> Path:
    made = manage(with_tables(tmp_path), "shell", "-c", ASK, **SLOW)
    assert made.returncode == 0, made.stderr
    return tmp_path


def _row(var: Path, sql: str) -> Any:
    connection = sqlite3.connect(var / "exergue.sqlite3")
    try:
        return connection.execute(sql).fetchone()
    finally:
        connection.commit()
        connection.close()


def _sheet(var: Path) -> Any:
    return _row(var, "SELECT state, file FROM catalogue_sheet")


def test_another_worker_draws_what_a_killed_one_began(var: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "manage.py", "work"],
        cwd=ROOT,
        env=environment(var, **SLOW),
        stdout=subprocess.PIPE,
        text=True,
    ) as worker:
        assert worker.stdout
        assert worker.stdout.readline() == "it is being drawn\n"
        worker.send_signal(signal.SIGKILL)
        worker.wait(PATIENCE)
    assert _sheet(var) == ("drawing", "")
    _row(var, "UPDATE catalogue_workerbeat SET beaten_at = datetime(beaten_at, '-61 seconds')")
    assert manage(var, "work", "--batch", **SLOW).returncode == 0
    state, file = _sheet(var)
    assert (state, (var / "media" / file).read_bytes()) == ("ready", b"%PDF whole")
    assert _row(var, "SELECT count(*) FROM catalogue_workerbeat") == (0,)


def test_the_server_has_a_killed_workers_sheet_drawn_at_once(var: Path) -> None:
    served = Served(var, **SLOW)
    try:
        first = int(served.wait_for(r"process (\d+)")[1])
        served.wait_for("it is being drawn")
        os.kill(first, signal.SIGKILL)
        served.wait_for(r"process (\d+)")
        served.wait_for("it is drawn")
    finally:
        served.end()
    assert _sheet(var)[0] in {"drawing", "ready"}


def test_a_worker_told_to_end_at_once_leaves_its_sheet_to_the_next(var: Path) -> None:
    _row(var, """UPDATE catalogue_sheet SET parameters = '{"told to end": true}'""")
    assert "it is being drawn" in manage(var, "work", **SLOW).stdout
    assert _sheet(var) == ("drawing", "")
    assert manage(var, "work", "--batch", **SLOW).returncode == 0
    assert _sheet(var)[0] == "ready"
