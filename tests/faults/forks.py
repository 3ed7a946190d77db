"""Deeds in processes forked from one in which Django is set up, so that each begins at once.

The one that waits has no connection to the database and has done nothing; each deed is a process of
its own all the same, and SIGKILL ends it as it ends any other.
"""

from __future__ import annotations

import json
import os
import select
import signal
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]


class Forks:
    """The process that waits, for the site of one folder."""

    def __init__(self, environment: dict[str, str]) -> None:
        self._waiting = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.deeds", "wait"],
            cwd=ROOT,
            env=environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def run(self, *arguments: str, after: float | None = None) -> subprocess.CompletedProcess[str]:
        """Run a deed to its end, or kill it after so many seconds."""
        assert self._waiting.stdin
        assert self._waiting.stdout
        order = json.dumps({"arguments": arguments, "after": after})
        self._waiting.stdin.write(order + "\n")
        self._waiting.stdin.flush()
        return subprocess.CompletedProcess(arguments, **json.loads(self._waiting.stdout.readline()))

    def end(self) -> None:
        self._waiting.communicate()


@contextmanager
def forks(environment: dict[str, str]) -> Iterator[Forks]:
    made = Forks(environment)
    try:
        yield made
    finally:
        made.end()


def wait_for_orders() -> None:
    """Fork a process for each line that comes in, and answer with what became of it."""
    _make_ready()
    answers = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)
    for line in sys.stdin:
        order = json.loads(line)
        answers.write(json.dumps(_obeyed(order["arguments"], order["after"])) + "\n")
        answers.flush()


def _make_ready() -> None:
    """Import what deeds and looking at them need; the database is not touched."""
    from django.conf import settings
    from django.core.management import load_command_class
    from django.urls import get_resolver
    from django.utils.module_loading import import_string

    from catalogue.importing.reading import countries
    from tests.faults import deeds, looking  # noqa: F401

    _ready = get_resolver().url_patterns, deeds.browser()
    for command in ("import_holdings", "backup", "restore", "check_records"):
        load_command_class("catalogue", command)
    countries.at_head(["Grikkland"])  # which reads the names of countries in every language
    for path in (*settings.RECORD_CHECKS, *settings.DERIVED_COLUMNS):
        import_string(path)


def _obeyed(arguments: list[str], after: float | None) -> dict[str, Any]:
    with tempfile.TemporaryFile("w+") as out, tempfile.TemporaryFile("w+") as wrong:
        child = os.fork()
        if not child:
            _child(arguments, out.fileno(), wrong.fileno())
        if after is not None:
            handle = os.pidfd_open(child)
            if not select.select([handle], [], [], after)[0]:
                os.kill(child, signal.SIGKILL)
            os.close(handle)
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        out.seek(0)
        wrong.seek(0)
        return {"returncode": status, "stdout": out.read(), "stderr": wrong.read()}


def _child(arguments: list[str], out: int, wrong: int) -> None:
    from tests.faults.deeds import do

    os.dup2(out, 1)
    os.dup2(wrong, 2)
    status = 1
    try:
        name, *step = arguments
        do(name, *map(int, step))
        status = 0
    except BaseException:
        traceback.print_exc()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(status)
