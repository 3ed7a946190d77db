"""The file of a backup: a plain tar archive with a list of what is in it.

``records/`` holds the rows of each table as JSON lines (packed by gzip), in an order in which
they can be put back; ``files/`` holds pictures and papers. ``manifest.jsonl`` comes after them: its
first line says what the file is, each other line one member with its size and SHA-256 and, of a
table, how many rows it has. ``manifest.sha256`` holds the digest of the manifest, as
``sha256sum -c`` reads it. Members are written and read one after the other, so that memory does not
grow with them.

>>> import tempfile
>>> head = {"number": "1", "made_at": "2026-05-03T10:00:00+00:00", "migrations": []}
>>> with tempfile.TemporaryFile() as file:
...     writer = Writer(file, head)
...     writer.add_bytes("files/one", b"a paper")
...     writer.finish()
...     with Reader(file) as reader:
...         [entry.name for entry in reader.listed()], list(reader.faults())
(['files/one'], [])
"""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import tarfile
import tempfile
import zlib
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from itertools import zip_longest
from pathlib import PurePosixPath
from types import TracebackType
from typing import IO, Any, Self

from catalogue.backup import words

FORMAT = "exergue-backup"
VERSION = 1
MANIFEST = "manifest.jsonl"
SUM = "manifest.sha256"
RECORDS = "records/"
FILES = "files/"
CHUNK = 1024 * 1024
IN_MEMORY = 4 * CHUNK
LONGEST_LINE = 1024 * 1024  # of a manifest
LONGEST_ROW = 256 * 1024 * 1024  # what unfolds without end is not read to its end

Told = Callable[[int], None]


def silent(count: int) -> None:
    """Tells nobody how far it is."""


class NotABackup(ValueError):
    """The file is no backup, or so damaged that it cannot be read; the message says so."""


@dataclass(frozen=True)
class Entry:
    """A member as the manifest lists it; ``rows`` and ``last`` (the highest number that the table
    has given) are those of a table."""

    name: str
    size: int
    sha256: str
    model: str = ""
    rows: int | None = None
    last: int | None = None


@dataclass(frozen=True)
class _Seen:
    """A member as it is found in the file, with what is wrong with it by itself."""

    name: str
    size: int
    sha256: str
    rows: int | None
    faults: list[str]


class _Hashed(io.RawIOBase):
    """Reads on, and takes the digest of what was read."""

    def __init__(self, file: IO[bytes], told: Told = silent) -> None:
        self._file, self._told = file, told
        self.sum, self.size = hashlib.sha256(), 0

    def readable(self) -> bool:
        return True

    def read(self, size: int = -1) -> bytes:
        data = self._file.read(size)
        self.sum.update(data)
        self.size += len(data)
        self._told(len(data))
        return data

    def readinto(self, buffer: Any) -> int:
        data = self.read(len(buffer))
        buffer[: len(data)] = data
        return len(data)


class Writer:
    """Writes a backup into a file that can be sought in; ``head`` is what the first line says."""

    def __init__(self, file: IO[bytes], head: dict[str, Any]) -> None:
        self._tar = tarfile.open(fileobj=file, mode="w", format=tarfile.PAX_FORMAT)  # noqa: SIM115
        self._made = int(datetime.fromisoformat(head["made_at"]).timestamp())
        self._manifest: IO[bytes] = tempfile.SpooledTemporaryFile(IN_MEMORY)  # noqa: SIM115
        self._line({"format": FORMAT, "version": VERSION, **head})

    def add(self, name: str, file: IO[bytes], size: int, **more: Any) -> None:
        """Add a member of so many bytes, read from a file."""
        read = _Hashed(file)
        self._tar.addfile(self._info(name, size), read)
        self._tar.members = []  # type: ignore[attr-defined]
        entry = Entry(name, size, read.sum.hexdigest(), **more)
        self._line({key: value for key, value in asdict(entry).items() if value not in ("", None)})

    def add_bytes(self, name: str, data: bytes, **more: Any) -> None:
        self.add(name, io.BytesIO(data), len(data), **more)

    def add_lines(self, name: str, lines: Iterator[bytes], beside: Any, **more: Any) -> int:
        """Add a table, a line for each row, packed; returns how many rows.

        What is packed lies in the folder ``beside`` until its size is known. What ``more`` gives as
        a function is asked for once all lines are read.
        """
        rows = 0
        with tempfile.SpooledTemporaryFile(IN_MEMORY, dir=beside) as kept:
            with gzip.GzipFile("", "wb", 6, kept, mtime=0) as packed:
                for line in lines:
                    packed.write(line + b"\n")
                    rows += 1
            size = kept.tell()
            kept.seek(0)
            told = {key: value() if callable(value) else value for key, value in more.items()}
            self.add(name, kept, size, rows=rows, **told)
        return rows

    def finish(self) -> None:
        """Add the manifest and its digest, and end the archive."""
        size = self._manifest.tell()
        self._manifest.seek(0)
        read = _Hashed(self._manifest)
        self._tar.addfile(self._info(MANIFEST, size), read)
        said = f"{read.sum.hexdigest()}  {MANIFEST}\n".encode()
        self._tar.addfile(self._info(SUM, len(said)), io.BytesIO(said))
        self._tar.close()
        self._manifest.close()

    def _info(self, name: str, size: int) -> tarfile.TarInfo:
        info = tarfile.TarInfo(name)
        info.size, info.mtime, info.mode = size, self._made, 0o600
        return info

    def _line(self, said: dict[str, Any]) -> None:
        self._manifest.write(json.dumps(said, ensure_ascii=False).encode() + b"\n")


class Reader:
    """Reads a backup. Raises NotABackup where there is none, or its manifest is lost."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self._manifest: IO[bytes] = tempfile.SpooledTemporaryFile(IN_MEMORY)  # noqa: SIM115
        self._read_manifest()
        self.head = self._head()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self._manifest.close()

    # ---- what it says of itself ----
    def _read_manifest(self) -> None:
        digest = said = ""
        try:
            for member, data in self._members():
                if member.name == MANIFEST:
                    read = _Hashed(data)
                    while part := read.read(CHUNK):
                        self._manifest.write(part)
                    digest = read.sum.hexdigest()
                elif member.name == SUM:
                    said = data.read(LONGEST_LINE).decode(errors="replace").split(" ")[0]
        except tarfile.ReadError as error:
            raise NotABackup(words.CUT if self._began() else words.NO_BACKUP) from error
        if not digest:
            raise NotABackup(words.CUT if self._began() else words.NO_BACKUP)
        if digest != said:
            raise NotABackup(words.MANIFEST_ALTERED)

    def _began(self) -> bool:
        """Whether the first member is one that a backup begins with."""
        try:
            first, _data = next(self._members(), (None, None))
        except tarfile.ReadError:
            return False
        return first is not None and first.name.startswith((RECORDS, FILES, MANIFEST))

    def _head(self) -> dict[str, Any]:
        self._manifest.seek(0)
        try:
            head: dict[str, Any] = json.loads(self._manifest.readline(LONGEST_LINE))
            is_ours, is_newer = head["format"] == FORMAT, head["version"] > VERSION
            _needed = head["number"], head["migrations"], datetime.fromisoformat(head["made_at"])
        except (ValueError, TypeError, KeyError) as error:
            raise NotABackup(words.NO_BACKUP) from error
        if not is_ours or is_newer:
            raise NotABackup(words.NEWER_FORM if is_ours else words.NO_BACKUP)
        return head

    def listed(self) -> Iterator[Entry]:
        """The members as the manifest lists them."""
        self._manifest.seek(0)
        at = len(self._manifest.readline(LONGEST_LINE))
        while True:
            self._manifest.seek(at)
            line = self._manifest.readline(LONGEST_LINE)
            if not line:
                return
            at += len(line)
            try:
                yield Entry(**json.loads(line))
            except (ValueError, TypeError) as error:
                raise NotABackup(words.MANIFEST_ALTERED) from error

    # ---- what it holds ----
    def members(self, begin: str) -> Iterator[tuple[Entry, IO[bytes]]]:
        """Each member whose name begins so, as it is listed, with its content; in their order."""
        listed = (entry for entry in self.listed() if entry.name.startswith(begin))
        found = (each for each in self._members() if each[0].name.startswith(begin))
        for entry, (member, data) in zip(listed, found, strict=True):
            if entry.name != member.name:
                raise NotABackup(words.out_of_order(member.name))
            yield entry, data

    def faults(self, told: Told = silent) -> Iterator[str]:
        """What is wrong with it, a sentence each. ``told`` hears how many bytes were read."""
        expected: dict[str, Entry] = {}
        found: dict[str, _Seen] = {}
        try:
            for entry, seen in zip_longest(self.listed(), self._seen(told)):
                if entry is not None:
                    expected[entry.name] = entry
                if seen is not None:
                    yield from seen.faults
                    found[seen.name] = seen
                for name in (entry and entry.name, seen and seen.name):
                    if name in expected and name in found:
                        yield from _differences(expected.pop(name), found.pop(name))
        except tarfile.ReadError:
            yield words.CUT
        except NotABackup as error:
            yield str(error)
        else:
            yield from (words.missing(name) for name in expected)
            yield from (words.not_listed(name) for name in found)

    def _seen(self, told: Told) -> Iterator[_Seen]:
        """What each member is found to be."""
        for member, data in self._members():
            if member.name in (MANIFEST, SUM):
                continue
            read, rows, faults = _Hashed(data, told), None, []
            if not _is_safe(member.name):
                faults.append(words.unsafe(member.name))
            if member.name.startswith(RECORDS):
                try:
                    rows = _count_lines(read)
                except tarfile.ReadError:
                    raise
                except (OSError, EOFError, zlib.error):
                    faults.append(words.not_unpacked(member.name))
            while read.read(CHUNK):
                pass
            yield _Seen(member.name, read.size, read.sum.hexdigest(), rows, faults)

    def _members(self) -> Iterator[tuple[tarfile.TarInfo, IO[bytes]]]:
        """Every file of the archive, in its order; never more than one is kept in memory."""
        self._file.seek(0)
        with tarfile.open(fileobj=self._file, mode="r:") as tar:
            while True:
                member = tar.next()
                tar.members = []  # type: ignore[attr-defined]
                if member is None:
                    return
                data = tar.extractfile(member) if member.isreg() else io.BytesIO()
                if data is not None:
                    yield member, data


def rows_of(data: IO[bytes]) -> Iterator[dict[str, Any]]:
    """The rows of a table, one in memory at a time; NotABackup where one cannot be read."""
    with gzip.GzipFile(fileobj=data) as packed:
        while True:
            try:
                line = packed.readline(LONGEST_ROW)
                if not line:
                    return
                row = json.loads(line)
            except (OSError, EOFError, ValueError, zlib.error) as error:
                raise NotABackup(words.ROW_UNREADABLE) from error
            yield row


def _count_lines(data: io.RawIOBase) -> int:
    lines = 0
    with gzip.GzipFile(fileobj=data) as packed:  # type: ignore[arg-type]
        while part := packed.read(CHUNK):
            lines += part.count(b"\n")
    return lines


def _differences(entry: Entry, seen: _Seen) -> Iterator[str]:
    if seen.size != entry.size:
        yield words.other_size(entry.name, seen.size, entry.size)
    elif seen.sha256 != entry.sha256:
        yield words.altered(entry.name)
    if seen.rows is not None and seen.rows != entry.rows:
        yield words.other_rows(entry.name, seen.rows, entry.rows)


def _is_safe(name: str) -> bool:
    """Whether a name stays within the folder it is put into."""
    path = PurePosixPath(name)
    return (
        str(path) == name
        and not path.is_absolute()
        and ".." not in path.parts
        and "\\" not in name
        and name.startswith((RECORDS, FILES))
    )
