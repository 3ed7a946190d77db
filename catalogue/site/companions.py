"""The processes a one-machine server keeps beside it: the task worker, and a daily clean-up."""

from __future__ import annotations

import logging
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.utils.crypto import get_random_string

LOOK_EVERY = 0.5
LONGEST_PAUSE = 60.0
PATIENCE = 15.0
DAY = 24 * 60 * 60
FIRST_CLEAN_UP = 60.0

log = logging.getLogger(__name__)


def _started(*arguments: str, **options: Any) -> subprocess.Popen[bytes] | None:
    """A command of the site as a process; None where there is no room for one."""
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), *arguments]
    try:
        return subprocess.Popen(command, **options)  # noqa: S603 our own command
    except OSError as error:
        log.error("%s could not be started, and is tried again: %s", arguments[0], error)
        return None


class Companions:
    """Keeps one worker running, restarting it when it ends, and empties the bin once a day.

    Each worker is told which one it follows, so that what that had in hand is done at once.

    The worker ends by itself when this process is gone, since its standard input then closes;
    the same way it is stopped, so that a task in hand is finished (for PATIENCE seconds).
    """

    def __init__(self, say: Callable[[str], None]) -> None:
        self._say = say
        self._stopping = threading.Event()
        self._worker: subprocess.Popen[bytes] | None = None
        self._worker_id = ""
        self._clean_up: subprocess.Popen[bytes] | None = None
        self._thread = threading.Thread(target=self._watch, name="companions", daemon=True)

    def start(self) -> None:
        self._start_worker()
        self._thread.start()

    def stop(self) -> None:
        self._stopping.set()
        self._thread.join()
        for process in (self._worker, self._clean_up):
            if process is None or process.poll() is not None:
                continue
            if process.stdin is not None:
                process.stdin.close()
            for end in (lambda: None, process.terminate, process.kill):
                end()
                try:
                    process.wait(PATIENCE)
                    break
                except subprocess.TimeoutExpired:
                    continue

    def _start_worker(self) -> None:
        gone, self._worker_id = self._worker_id, get_random_string(32)
        # A group of its own: Ctrl-C reaches the server alone, which then ends the worker.
        worker = _started(
            *("work", "--with-server", f"--worker-id={self._worker_id}", f"--in-place-of={gone}"),
            stdin=subprocess.PIPE,
            start_new_session=True,
            creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
        )
        if worker is not None:
            self._worker = worker
            self._say(f"Tasks are done by process {worker.pid}.")

    def _watch(self) -> None:
        pause = 1.0
        started = time.monotonic()
        clean_up_at = started + FIRST_CLEAN_UP
        while not self._stopping.wait(LOOK_EVERY):
            now = time.monotonic()
            if self._worker is None or self._worker.poll() is not None:
                ended = "not begun" if self._worker is None else self._worker.returncode
                log.error("the task worker ended (%s); starting another", ended)
                pause = 1.0 if now - started > LONGEST_PAUSE else min(2 * pause, LONGEST_PAUSE)
                if self._stopping.wait(pause):
                    return
                started = time.monotonic()
                self._start_worker()
            if now >= clean_up_at:
                clean_up_at = now + DAY
                self._clean_up = _started(
                    "empty_bin", stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL
                )
