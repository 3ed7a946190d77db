"""Taking turns on one machine: so many at once over all processes, and so many waiting.

A turn is a lock that the system keeps on a small file; it ends with the process that holds it,
however that ends. Whoever comes takes a place in the line first, and is sent away when none is
free, so that a crowd does not keep every thread of a server waiting. Times are in seconds. Where
files cannot be locked (no room for one, a system that knows no locks) the threads of one process
take turns alone.

>>> import tempfile
>>> with tempfile.TemporaryDirectory() as name:
...     with turn(Path(name), at_once=1, in_line=2, patience=0):
...         try:
...             with turn(Path(name), at_once=1, in_line=2, patience=0):
...                 print("two at once")
...         except NoTurn:
...             print("not yet")
...     with turn(Path(name), at_once=1, in_line=2, patience=0):
...         print("now")
not yet
now
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

try:
    import fcntl
except ImportError:
    fcntl = None  # type: ignore[assignment]
try:
    import msvcrt
except ImportError:
    msvcrt = None  # type: ignore[assignment]

LOOK_EVERY = 0.05
_of_this_process = threading.BoundedSemaphore(1)


class NoTurn(Exception):
    """The line is full, or patience ended before the turn came."""


@contextmanager
def turn(folder: Path, *, at_once: int, in_line: int, patience: float) -> Iterator[int | None]:
    """Hold one of ``at_once`` turns; at most ``in_line`` hold one or wait for it.

    Gives the number of the open file that is the turn: a child process that inherits it keeps the
    turn until both have ended.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        place = _one_free(folder, "place", in_line)
    except OSError:
        with _turn_of_this_process(patience):
            yield None
        return
    if place is None:
        raise NoTurn
    try:
        held = _wait_for_one(folder, at_once, patience)
        try:
            yield held
        finally:
            os.close(held)
    finally:
        os.close(place)


def _wait_for_one(folder: Path, at_once: int, patience: float) -> int:
    until = time.monotonic() + patience
    while (held := _one_free(folder, "turn", at_once)) is None:
        if time.monotonic() >= until:
            raise NoTurn
        time.sleep(LOOK_EVERY)
    return held


def _one_free(folder: Path, kind: str, count: int) -> int | None:
    """The open and locked file of the first of ``count`` that nobody holds."""
    for n in range(count):
        handle = os.open(folder / f"{kind}-{n}", os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(handle)
        except (BlockingIOError, PermissionError):  # as Unix and Windows say that it is held
            os.close(handle)
        except OSError:
            os.close(handle)
            raise
        else:
            return handle
    return None


def _lock(handle: int) -> None:
    if fcntl is not None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    elif msvcrt is not None:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    else:
        raise OSError("this system locks no files")


@contextmanager
def _turn_of_this_process(patience: float) -> Iterator[None]:
    if not _of_this_process.acquire(timeout=patience):
        raise NoTurn
    try:
        yield
    finally:
        _of_this_process.release()
