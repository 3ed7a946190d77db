"""The processes a one-machine server keeps beside it: more servers, the task worker, a clean-up."""

from __future__ import annotations

import logging
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from django.conf import settings

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
        sys.stdin.buffer.read()
        signal.raise_signal(signal.SIGTERM)

    threading.Thread(target=wait, daemon=True).start()


def _manage(*arguments: str) -> list[str]:
    return [sys.executable, str(settings.BASE_DIR / "manage.py"), *arguments]


@dataclass
class _Kept:
    """A process that is started again when it ends, after a pause that grows while it fails."""

    name: str
    arguments: tuple[str, ...]
    handed: tuple[int, ...] = ()
    process: subprocess.Popen[bytes] | None = None
    started: float = 0.0
    pause: float = 1.0
    again_at: float | None = field(default=None)

    def start(self) -> int:
        # A group of its own: Ctrl-C reaches the server alone, which then ends the others.
        self.process = subprocess.Popen(  # noqa: S603 our own command
            _manage(*self.arguments),
            stdin=subprocess.PIPE,
            start_new_session=True,
            pass_fds=self.handed,
            creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
        )
        self.started, self.again_at = time.monotonic(), None
        return self.process.pid

    def look(self, now: float) -> bool:
        """Whether it is to be started again now."""
        if self.process is None or self.process.poll() is None:
            return False
        if self.again_at is None:
            log.error("%s ended (%s); starting another", self.name, self.process.returncode)
            lasted = now - self.started > LONGEST_PAUSE
            self.pause = 1.0 if lasted else min(2 * self.pause, LONGEST_PAUSE)
            self.again_at = now + self.pause
        return now >= self.again_at


class Companions:
    """Keeps the worker and the other servers running, and empties the bin once a day.

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
        self._servers = [_Kept("a server process", beside, handed) for _ in range(servers)]
        self._worker = _Kept("the task worker", ("work", "--with-server")) if worker else None
        self._clean_up: subprocess.Popen[bytes] | None = None
        self._thread = threading.Thread(target=self._watch, name="companions", daemon=True)

    @property
    def _kept(self) -> list[_Kept]:
        return [*self._servers, *([self._worker] if self._worker else [])]

    def start(self) -> None:
        for kept in self._kept:
            self._start(kept)
        self._thread.start()

    def stop(self) -> None:
        self._stopping.set()
        if self._thread.is_alive():
            self._thread.join()
        processes = [kept.process for kept in self._kept]
        for process in (*processes, self._clean_up):
            if process is not None and process.poll() is None and process.stdin is not None:
                process.stdin.close()
        for process in (*processes, self._clean_up):
            if process is None or process.poll() is not None:
                continue
            for end in (lambda: None, process.terminate, process.kill):
                end()
                try:
                    process.wait(PATIENCE)
                    break
                except subprocess.TimeoutExpired:
                    continue

    def _start(self, kept: _Kept) -> None:
        pid = kept.start()
        if kept is self._worker:
            self._say(f"Tasks are done by process {pid}.")
        else:
            self._say(f"Pages are served by process {pid} too.")

    def _watch(self) -> None:
        clean_up_at = time.monotonic() + FIRST_CLEAN_UP
        while not self._stopping.wait(LOOK_EVERY):
            now = time.monotonic()
            for kept in self._kept:
                if kept.look(now):
                    self._start(kept)
            if self._worker is not None and now >= clean_up_at:
                clean_up_at = now + DAY
                self._clean_up = subprocess.Popen(  # noqa: S603 our own command
                    _manage("empty_bin"), stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL
                )
