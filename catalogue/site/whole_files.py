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
            os.fsync(file.fileno())
        if mode is not None:
            beside.chmod(mode)
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _flush_folder(path.parent)


def _flush_folder(folder: Path) -> None:
    """Let the new name last through a loss of power, where a folder can be flushed."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
