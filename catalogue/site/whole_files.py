"""Files on this machine's disk that are there whole or not at all.

A file is written beside its name, flushed to the disk and then renamed, so that neither a full
disk nor a killed process leaves half of one under a name that a record may trust.

>>> import tempfile
>>> with tempfile.TemporaryDirectory() as folder:
...     write_whole(Path(folder) / "sheet.pdf", [b"one ", b"half"])
...     [(path.name, path.read_bytes()) for path in Path(folder).iterdir()]
[('sheet.pdf', b'one half')]
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import IO

UNFINISHED = ".unfinished"
_BINARY = getattr(os, "O_BINARY", 0)  # on Windows


def write_whole(path: Path, parts: Iterable[bytes], mode: int | None = None) -> None:
    """Write a file into a folder that is there; OSError leaves nothing of it."""
    with whole_file(path, mode) as file:
        for part in parts:
            file.write(part)


@contextmanager
def whole_file(path: Path, mode: int | None = None) -> Iterator[IO[bytes]]:
    """A file to write to and read from, which gets its name once the block ends without a fault.

    It may be read by nobody whom ``mode`` does not allow, from the beginning.
    """
    beside = path.with_name(f"{secrets.token_hex(8)}{UNFINISHED}")
    try:
        opened = os.open(beside, os.O_CREAT | os.O_EXCL | os.O_RDWR | _BINARY, mode or 0o666)
        with os.fdopen(opened, "w+b") as file:
            yield file
            file.flush()
            if (later := _together.get()) is None:
                os.fsync(file.fileno())
        if mode is not None:
            beside.chmod(mode)
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    if later is None:
        _flush_folder(path.parent)
    else:
        later.append(path)


_together: ContextVar[list[Path] | None] = ContextVar("together", default=None)


@contextmanager
def flushed_together() -> Iterator[None]:
    """Files that are written within are flushed to the disk when this ends, all in one go.

    That takes a fraction of the time of one by one. It is for files that nothing names until then:
    a loss of power before may leave any of them empty.
    """
    written: list[Path] = []
    token = _together.set(written)
    try:
        yield
    finally:
        _together.reset(token)
    if written and hasattr(os, "sync"):
        os.sync()  # so that little is left for each to wait for
    for path in written:
        _flush(path)
    for folder in {path.parent for path in written}:
        _flush_folder(folder)


def _flush(path: Path) -> None:
    handle = os.open(path, os.O_RDWR | _BINARY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _flush_folder(folder: Path) -> None:
    """Let the new name last through a loss of power, where a folder can be flushed."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
