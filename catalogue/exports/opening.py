"""An archive opened as something from outside: how large it may be, and what of it can be read.

Nothing is unpacked onto the disk, a table is read row by row, and no more is taken from an entry
than its directory said, which is held against the limits here.
"""

from __future__ import annotations

import json
import lzma
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO, Any

from django.utils.translation import gettext as _

from catalogue.members.coming_back import LeftOut

TABLE = "json/{}.json"
FIRST = TABLE.format("holdings")
LARGEST_FILE = 32 * 1024 * 1024
LARGEST_LIST = 100 * 1024 * 1024
LARGEST_TABLES = 1024 * 1024 * 1024
MOST_FILES = 250_000
LARGEST_DIRECTORY = 24 * 1024 * 1024
LONGEST_LINE = 2 * 1024 * 1024
MOST_ROWS = 1_000_000
_END, _END_SIZE, _LONGEST_REMARK = b"PK\5\6", 22, 65_535
_LOCATOR, _LOCATOR_SIZE = b"PK\6\7", 20
_LONG_END, _LONG_END_SIZE = b"PK\6\6", 56
_DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    EOFError,
    NotImplementedError,
    OSError,
    RuntimeError,
    ValueError,
)


class ArchiveRefused(ValueError):
    """The file is no archive that can be brought back; the message says what to do."""


@dataclass(frozen=True)
class Opened:
    """An archive whose directory was read and found fit."""

    archive: zipfile.ZipFile
    names: dict[str, zipfile.ZipInfo]

    @property
    def pictures(self) -> int:
        return sum(name.startswith("photographs/") for name in self.names)

    @property
    def size_of_tables(self) -> int:
        """Bytes of the tables that are read."""
        return sum(info.file_size for name, info in self.names.items() if _is_table(name))

    def rows(self, table: str) -> Iterator[dict[str, Any]]:
        """The rows of a table's JSON file, which has one a line; ArchiveRefused names a bad one."""
        name = TABLE.format(table)
        if name not in self.names:
            return
        number = 0
        try:
            with self.archive.open(self.names[name]) as lines:
                for number, line in enumerate(iter(lambda: lines.readline(LONGEST_LINE), b""), 1):
                    text = line.strip().strip(b",")
                    if text not in (b"[", b"]", b"", b"[]"):
                        yield _row(text, number, name)
        except ArchiveRefused:
            raise
        except _DAMAGED as error:
            raise ArchiveRefused(
                _("%(name)s is damaged in this archive (after line %(n)d). Take the file anew.")
                % {"name": name, "n": number}
            ) from error

    def file(self, name: str | None, largest: int = LARGEST_FILE) -> bytes:
        """The bytes of an entry; LeftOut says why it cannot be had."""
        with self.stream(name, largest) as file:
            try:
                return file.read()
            except _DAMAGED as error:
                raise LeftOut(_("its file is damaged in the archive.")) from error

    def stream(self, name: str | None, largest: int = LARGEST_FILE) -> IO[bytes]:
        """An entry to be read part by part; it never gives more than it said to hold."""
        if name is None:
            raise LeftOut(_("its file is not in the archive."))
        if self.names[name].file_size > largest:
            raise LeftOut(_("its file is too large."))
        try:
            return self.archive.open(self.names[name])
        except _DAMAGED as error:
            raise LeftOut(_("its file is damaged in the archive.")) from error


def open_archive(file: IO[bytes]) -> Opened:
    """ArchiveRefused for what is no archive of this kind, or is made to harm."""
    try:
        size = _directory_size(file)
        if size is not None and size > LARGEST_DIRECTORY:
            raise _too_much()
        archive = zipfile.ZipFile(file)
    except ArchiveRefused:
        raise
    except _DAMAGED as error:
        raise ArchiveRefused(
            _("This is no archive. Take the zip file that “Take everything along” gives.")
        ) from error
    opened = Opened(archive, {info.filename: info for info in archive.infolist()})
    if FIRST not in opened.names:
        raise ArchiveRefused(
            _("There is no json/holdings.json in it. Take the whole zip file, as it was made.")
        )
    if len(opened.names) > MOST_FILES or opened.size_of_tables > LARGEST_TABLES:
        raise _too_much()
    if any(info.flag_bits & 1 for info in opened.names.values()):
        raise ArchiveRefused(
            _("This archive is locked by a password. Take the zip file as it was made.")
        )
    return opened


def _too_much() -> ArchiveRefused:
    return ArchiveRefused(
        _("There is more in this archive than an export of a collection has; it is not opened.")
    )


def _is_table(name: str) -> bool:
    return name.startswith("json/")


def _directory_size(file: IO[bytes]) -> int | None:
    """Bytes of the archive's directory, as its end says, before anything of it is read.

    PKWARE's description of the format (APPNOTE 4.3.16): 22 bytes and a remark stand at the end,
    the size at the thirteenth; a large archive has it eight bytes long in a record (4.3.14), which
    a locator before the end points to (4.3.15). The whole file where that cannot be told.
    """
    whole = file.seek(0, 2)
    before = _LOCATOR_SIZE + _LONG_END_SIZE
    file.seek(max(0, whole - _END_SIZE - _LONGEST_REMARK - before))
    tail = file.read()
    file.seek(0)
    at = tail.rfind(_END)
    if at < 0 or len(tail) < at + _END_SIZE:
        return None
    said = int.from_bytes(tail[at + 12 : at + 16], "little")
    if not tail[max(0, at - _LOCATOR_SIZE) : at].startswith(_LOCATOR):
        return said
    record = tail[max(0, at - before) : at - _LOCATOR_SIZE]
    long_said = int.from_bytes(record[40:48], "little")
    return long_said if record.startswith(_LONG_END) else whole


def _row(text: bytes, number: int, name: str) -> dict[str, Any]:
    if number > MOST_ROWS:
        raise ArchiveRefused(
            _("%(name)s has more than %(n)d lines.") % {"n": MOST_ROWS, "name": name}
        )
    try:
        row = json.loads(text, parse_constant=_no_number)
        good = isinstance(row, dict) and type(row.get("id")) is int
        good = good and (b"\\u" not in text or _is_storable(row))
    except (ValueError, RecursionError):
        good = False
    if not good:
        raise ArchiveRefused(
            _("Line %(n)d of %(name)s cannot be read. Take the file as it was made.")
            % {"n": number, "name": name}
        )
    found: dict[str, Any] = row
    return found


def _no_number(text: str) -> None:
    raise ValueError(text)


def _is_storable(value: Any) -> bool:
    """Whether every database takes all texts in a value: no NUL, no half of a pair (RFC 8259)."""
    if isinstance(value, str):
        return "\0" not in value and not any("\ud800" <= sign <= "\udfff" for sign in value)
    if isinstance(value, dict):
        return all(_is_storable(each) for pair in value.items() for each in pair)
    return not isinstance(value, list) or all(map(_is_storable, value))
