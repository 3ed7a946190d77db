"""The processes a one-machine server keeps beside it: more servers, the task worker, a clean-up."""

from __future__ import annotations

import logging
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.utils.crypto import get_random_string

LOOK_EVERY = 0.5
LONGEST_PAUSE = 60.0
PATIENCE = 15.0
DAY = 24 * 60 * 60
FIRST_CLEAN_UP = 60.0

log = logging.getLogger(__name__)


def end_with_the_server() -> None:
    """In a companion: wait until standard input is closed, then ask for the end as a signal would.

    The server's end of that pipe closes with the server, however it ends.
    """

    def wait() -> None:
        while os.read(sys.stdin.fileno(), 1024):
            pass
        signal.raise_signal(signal.SIGTERM)

    threading.Thread(target=wait, daemon=True).start()


def started(*arguments: str, **options: Any) -> subprocess.Popen[bytes] | None:
    """A command of the site as a process; None where there is no room for one."""
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), *arguments]
    try:
        return subprocess.Popen(command, **options)  # noqa: S603 our own command
    except OSError as error:
        log.error("%s could not be started, and is tried again: %s", arguments[0], error)
        return None


@dataclass
class _Kept:
    """A process that is started again when it ends, after a pause that grows while it fails."""

    name: str
    said: str
    arguments: Callable[[], tuple[str, ...]]
    handed: tuple[int, ...] = ()
    process: subprocess.Popen[bytes] | None = None
    started: float = 0.0
    pause: float = 1.0
    again_at: float | None = None

    def start(self) -> bool:
        # A group of its own: Ctrl-C reaches the server alone, which then ends the others.
        self.process = started(
            *self.arguments(),
            stdin=subprocess.PIPE,
            start_new_session=True,
            pass_fds=self.handed,
            creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
        )
        self.started, self.again_at = time.monotonic(), None
        return self.process is not None

    def is_due(self, now: float) -> bool:
        """Whether it ended, and is to be started again now."""
        if self.process is not None and self.process.poll() is None:
            return False
        if self.again_at is None:
            ended = "not begun" if self.process is None else self.process.returncode
            log.error("%s ended (%s); starting another", self.name, ended)
            lasted = now - self.started > LONGEST_PAUSE
            self.pause = 1.0 if lasted else min(2 * self.pause, LONGEST_PAUSE)
            self.again_at = now + self.pause
        return now >= self.again_at


class Companions:
    """Keeps the worker and the other servers running, and empties the bin once a day.

    Each worker is told which one it follows, so that what that had in hand is done at once.

    They end by themselves when this process is gone, since their standard input then closes;
    the same way they are stopped, so that what is in hand is finished (for PATIENCE seconds).
    """

    def __init__(
        self,
        say: Callable[[str], None],
        *,
        worker: bool = True,
        servers: int = 0,
        sockets: Iterable[socket.socket] = (),
    ) -> None:
        self._say = say
        self._stopping = threading.Event()
        handed = tuple(each.fileno() for each in sockets)
        beside = ("serve", "--beside", ",".join(str(number) for number in handed))
        served = "Pages are served by process %d too."
        self._kept = [
            _Kept("a server process", served, lambda: beside, handed) for _ in range(servers)
        ]
        self._worker_id = ""
        if worker:
            done = "Tasks are done by process %d."
            self._kept.append(_Kept("the task worker", done, self._work))
        self._cleans_up = worker
        self._clean_up: subprocess.Popen[bytes] | None = None
        self._thread = threading.Thread(target=self._watch, name="companions", daemon=True)

    def start(self) -> None:
        for kept in self._kept:
            self._start(kept)
        self._thread.start()

    def stop(self) -> None:
        self._stopping.set()
        if self._thread.is_alive():
            self._thread.join()
        running = [
            process
            for process in (*(kept.process for kept in self._kept), self._clean_up)
            if process is not None and process.poll() is None
        ]
        for process in running:
            if process.stdin is not None:
                process.stdin.close()
        for process in running:
            for end in (lambda: None, process.terminate, process.kill):
                end()
                try:
                    process.wait(PATIENCE)
                    break
                except subprocess.TimeoutExpired:
                    continue

    def _work(self) -> tuple[str, ...]:
        gone, self._worker_id = self._worker_id, get_random_string(32)
        return ("work", "--with-server", f"--worker-id={self._worker_id}", f"--in-place-of={gone}")

    def _start(self, kept: _Kept) -> None:
        if kept.start() and kept.process is not None:
            self._say(kept.said % kept.process.pid)

    def _watch(self) -> None:
        clean_up_at = time.monotonic() + FIRST_CLEAN_UP
        while not self._stopping.wait(LOOK_EVERY):
            now = time.monotonic()
            for kept in self._kept:
                if kept.is_due(now):
                    self._start(kept)
            if self._cleans_up and now >= clean_up_at:
                clean_up_at = now + DAY
                self._clean_up = started(
                    "empty_bin", stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL
                )
