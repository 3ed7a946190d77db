"""Pictures brought with a list: a zip or a folder, of which only what rows name is opened.

Nothing of an archive is ever unpacked onto the disk: a picture is read in memory, up to the size
that any upload may have, and decoded as any other. An archive within it is not opened.
"""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO

from django.conf import settings
from django.core.files.storage import default_storage
from django.utils.translation import gettext as _

from catalogue.importing.picture_names import is_picture
from catalogue.importing.reading.lists import ListError
from catalogue.models import ImportedList
from series.picture.pictures import Kept, PictureRefused, patiently, prepare_picture

MOST_FILES = 20_000
LONGEST_NAME = 300
_BROKEN = (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, ValueError, OSError)


@dataclass(frozen=True)
class Pictures:
    """The names of the pictures there are, and how the bytes of one are read."""

    names: tuple[str, ...]
    read: Callable[[str], bytes]

    def keep(self, name: str) -> Kept:
        """Decode and store one picture; PictureRefused says why it is none, OSError of a disk."""
        data = self.read(name)
        return patiently(lambda: prepare_picture(io.BytesIO(data))).keep()


NO_PICTURES = Pictures((), lambda name: b"")


def check_zip(file: IO[bytes]) -> None:
    """ListError when this is no archive of pictures that can be taken."""
    file.seek(0)
    _of_zip(file)
    file.seek(0)


@contextmanager
def pictures_of(brought: ImportedList) -> Iterator[Pictures]:
    """The pictures that were brought with a list as a zip."""
    if not brought.pictures or not default_storage.exists(brought.pictures):
        yield NO_PICTURES
        return
    with default_storage.open(brought.pictures, "rb") as file:
        yield _of_zip(file)


def _of_zip(file: IO[bytes]) -> Pictures:
    try:
        archive = zipfile.ZipFile(file)
        entries = [entry for entry in archive.infolist() if not entry.is_dir()]
    except _BROKEN as error:
        raise ListError(
            _("This is no zip archive that can be opened: put the pictures into one anew.")
        ) from error
    _refuse(entries)
    found = {entry.filename: entry for entry in entries if is_picture(entry.filename)}
    if not found:
        raise ListError(
            _(
                "There is no picture in this archive. Put JPEG, PNG or WebP files into it; an "
                "archive within it is not opened."
            )
        )

    def read(name: str) -> bytes:
        try:
            with archive.open(found[name]) as entry:
                return entry.read(settings.UPLOAD_LIMIT_BYTES + 1)
        except (*_BROKEN, zlib.error) as error:
            raise PictureRefused(_("It is damaged in the archive.")) from error

    return Pictures(tuple(found), read)


def _refuse(entries: list[zipfile.ZipInfo]) -> None:
    """ListError for an archive that was made to harm, or that nobody can open."""
    if len(entries) > MOST_FILES:
        raise ListError(
            _("There are more than %(n)d files in this archive: bring fewer at a time.")
            % {"n": MOST_FILES}
        )
    for entry in entries:
        path = PurePosixPath(entry.filename.replace("\\", "/"))
        leads_out = path.is_absolute() or ".." in path.parts or ":" in entry.filename
        if leads_out or stat.S_ISLNK(entry.external_attr >> 16):
            raise ListError(_("This archive holds names that lead out of it, so it is not opened."))
        if len(entry.filename) > LONGEST_NAME:
            raise ListError(_("A name in this archive is too long: shorten it."))
        if entry.flag_bits & 1:
            raise ListError(_("This archive is locked by a password: make one without."))


def pictures_in(folder: Path) -> Pictures:
    """The pictures of a folder and of those in it; ListError when it cannot be read."""
    if not folder.is_dir():
        raise ListError(_("There is no folder %(name)s.") % {"name": folder})
    names = []
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not path.is_symlink() and is_picture(path.name):
            names.append(path.relative_to(folder).as_posix())
        if len(names) > MOST_FILES:
            raise ListError(
                _("There are more than %(n)d pictures in this folder: bring fewer at a time.")
                % {"n": MOST_FILES}
            )

    def read(name: str) -> bytes:
        try:
            with (folder / name).open("rb") as file:
                return file.read(settings.UPLOAD_LIMIT_BYTES + 1)
        except OSError as error:
            raise PictureRefused(_("It cannot be opened.")) from error

    return Pictures(tuple(names), read)
