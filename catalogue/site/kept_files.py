"""What was worked out from all records, kept on disk for a server that starts.

``keep`` writes named arrays into one file in numpy's own format, whole or not at all, for the
site's own account alone; ``kept`` gives them back, mapped as a rule, so that several processes
share the memory. Neither fails: a disk that is full or may not be written costs only the time to
work things out again. What the files were made from is for their owner to check; what other code
made is not given back. Nothing but numbers and texts is read, never objects.

Whoever removes a person's data calls ``forget_kept`` once that is committed; it raises OSError
where a file cannot be removed.
"""

from __future__ import annotations

import io
import json
import logging
import mmap
import os
import secrets
import sys
import time
from binascii import crc32
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from django.conf import settings
from django.db import connection
from numpy.lib import format as npy
from numpy.typing import NDArray

from catalogue.site.whole_files import UNFINISHED, write_whole
from series.arrays import Arrays

log = logging.getLogger(__name__)

ENDING = ".arrays"
_ALIGNED = 64
_SUM = 8
_FORGOTTEN = "forgotten"
_ABANDONED = 60 * 60  # seconds since a file was last written to
_PACKAGES = ("series", "catalogue", "valuation")


class Kept(NamedTuple):
    """Arrays, and beside them what JSON can say. The arrays may be written to: no file changes."""

    arrays: Arrays
    plain: Any


def keep(name: str, arrays: Mapping[str, NDArray[Any]], plain: Any, since: bytes) -> bool:
    """Keep these under a name, in place of what was kept; whether that went well.

    ``since`` is what ``forgotten`` said before the records were read: if all was forgotten since,
    this is not kept either.
    """
    head = {"made_by": _made_by(), "names": list(arrays), "plain": plain}
    said = np.frombuffer(json.dumps(head).encode(), np.uint8)
    folder = _folder()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        _sweep(folder)
        write_whole(folder / f"{name}{ENDING}", _parts([said, *arrays.values()]), 0o600)
    except OSError as error:
        log.info("%s is not kept on disk: %s", name, error)
        return False
    if forgotten() != since:
        (folder / f"{name}{ENDING}").unlink(missing_ok=True)
        return False
    return True


def kept(name: str) -> Kept | None:
    """What was kept under a name; None if nothing was, or other code made it, or it is damaged."""
    try:
        data = _mapped(_folder() / f"{name}{ENDING}")
        said, *arrays = _arrays(data)
        head = json.loads(said.tobytes())
        if head["made_by"] != _made_by():
            return None
        return Kept(dict(zip(head["names"], arrays, strict=True)), head["plain"])
    except FileNotFoundError:
        return None
    except (OSError, ValueError, TypeError, KeyError, EOFError) as error:
        log.info("What was kept of %s is not used: %s", name, error)
        return None


@contextmanager
def only_one(name: str) -> Iterator[None]:
    """Let one process at a time work out what has this name, where files can be locked.

    The lock ends with the process that has it, whatever becomes of that.
    """
    try:
        import fcntl

        _folder().mkdir(mode=0o700, parents=True, exist_ok=True)
        lock = os.open(_folder() / f"{name}.lock", os.O_RDWR | os.O_CREAT, 0o600)
    except (ImportError, OSError):
        yield
        return
    try:
        with suppress(OSError):
            fcntl.flock(lock, fcntl.LOCK_EX)
        yield
    finally:
        os.close(lock)


def forgotten() -> bytes:
    """Another one each time that all was forgotten."""
    try:
        return (_folder() / _FORGOTTEN).read_bytes()
    except OSError:
        return b""


def forget_kept() -> None:
    """Remove all that is kept; what is just being written is removed by who writes it."""
    if not _folder().exists():
        return
    (_folder() / _FORGOTTEN).write_bytes(secrets.token_bytes(16))
    for path in _folder().glob("*"):
        if path.suffix in (ENDING, UNFINISHED):
            path.unlink(missing_ok=True)


def _folder() -> Path:
    return Path(settings.KEPT_DIR)


def _parts(arrays: list[NDArray[Any]]) -> Iterator[bytes]:
    """One array after the other, each with its header, filled up so that the next is aligned;
    behind them all a sum to check them by."""
    check = 0
    for array in arrays:
        plain = np.ascontiguousarray(array)
        header = io.BytesIO()
        npy.write_array_header_1_0(header, npy.header_data_from_array_1_0(plain))
        for part in (header.getvalue(), plain.tobytes(), bytes(-plain.nbytes % _ALIGNED)):
            check = crc32(part, check)
            yield part
    yield check.to_bytes(_SUM, "big")


def _arrays(data: mmap.mmap | bytearray) -> Iterator[NDArray[Any]]:
    at, end = 0, len(data) - _SUM
    with memoryview(data) as whole:
        if crc32(whole[:end]) != int.from_bytes(whole[end:], "big"):
            raise ValueError("it is damaged")
    while at < end:
        header = io.BytesIO(data[at : at + 4096])
        npy.read_magic(header)
        shape, _fortran, dtype = npy.read_array_header_1_0(header)
        if dtype.hasobject:
            raise ValueError("it holds objects")
        at += header.tell()
        count = int(np.prod(shape, dtype=np.int64))
        array = np.frombuffer(data, dtype, count, at) if count else np.zeros(0, dtype)
        yield array.reshape(shape)
        at += array.nbytes + -array.nbytes % _ALIGNED


def _mapped(path: Path) -> mmap.mmap | bytearray:
    """The file's bytes; what is written to them stays in this process.

    They are read where a mapped file would do harm: Windows lets nobody replace or remove one, and
    beside a database that serves several machines the folder may be on a disk that another of
    them writes.
    """
    with path.open("rb") as file:
        if os.name == "posix" and connection.vendor == "sqlite":
            return mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_COPY)
        data = bytearray(os.fstat(file.fileno()).st_size)
        file.readinto(data)
        return data


def _sweep(folder: Path) -> None:
    """Remove what a process left that was killed while it wrote."""
    for path in folder.glob(f"*{UNFINISHED}"):
        if time.time() - path.stat().st_mtime > _ABANDONED:
            path.unlink(missing_ok=True)


@cache
def _made_by() -> str:
    """Changes with the code, so that nothing is read that an earlier release worked out."""
    told = sha256(f"{sys.version} {np.__version__} {sys.byteorder}".encode())
    for package in _PACKAGES:
        for path in sorted((Path(settings.BASE_DIR) / package).rglob("*.py")):
            told.update(str(path).encode() + path.read_bytes())
    return told.hexdigest()
