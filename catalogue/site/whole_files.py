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
from collections.abc import Iterable
from pathlib import Path

UNFINISHED = ".unfinished"


def write_whole(path: Path, parts: Iterable[bytes], mode: int | None = None) -> None:
    """Write a file into a folder that is there; OSError leaves nothing of it."""
    beside = path.with_name(f"{secrets.token_hex(8)}{UNFINISHED}")
    try:
        with beside.open("xb") as file:
            for part in parts:
                file.write(part)
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
